import { assembleSample } from '../../../sample-data/assemble.ts';
import { writeFarmText } from '../../../shared/model/farm-text.ts';
import type { Command } from '../command.ts';
import { printJson } from '../print.ts';

export const sampleCommand: Command = {
  name: 'sample',
  words: 'DIR',
  summary: 'write the sample farm (invented): its raw files, and the farm folder made from them',
  more: 'DIR becomes a farm folder (farm.json and attachments); the raw files and the planted truth stand beside them in DIR/files.',
  options: [],
  takes: [1, 1],
  run({ words, host, json }) {
    const folder = words[0]!;
    if (host.kind(folder) === 'file' || host.list(folder).length > 0) {
      host.err(`${folder} is not an empty folder: nothing was written.\n`);
      return 2;
    }
    const work = assembleSample();
    let files = 0;
    let turn = work.next();
    while (!turn.done) {
      host.write(host.join(folder, 'files', ...turn.value.path.split('/')), turn.value.bytes);
      files++;
      turn = work.next();
    }
    const { farm, attachments } = turn.value;
    for (const one of attachments) host.write(host.join(folder, 'attachments', one.sha256), one.bytes);
    host.write(host.join(folder, 'farm.json'), new TextEncoder().encode(writeFarmText(farm)));
    if (json) printJson(host, { farm: folder, name: farm.name, fields: farm.fields.length, files });
    else
      host.out(
        `Wrote ${farm.name}, an invented farm of ${farm.fields.length} fields, to ${folder}. Next: seedfall study ${folder}\n`,
      );
    return 0;
  },
};
