import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { writeFarmText } from '../../../shared/model/farm-text.ts';
import { writeArchive } from '../../../shared/import/archive.ts';
import type { Command } from '../command.ts';
import { printJson } from '../print.ts';

export const newCommand: Command = {
  name: 'new',
  words: 'DIR',
  summary: 'make an empty farm folder, or a farm file where DIR ends in .zip',
  more: 'Then bring files in: seedfall add DIR FILE…',
  examples: ['new my-farm --name "Home Farm" --utc-offset -300', 'new my-farm.zip --units metric'],
  options: [
    { name: 'name', value: 'NAME', help: 'the farm’s name; else the folder’s' },
    { name: 'units', value: 'us|metric', help: 'units on screen and paper; else us' },
    { name: 'utc-offset', value: 'MINUTES', help: 'local time minus UTC, minutes' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const path = words[0]!;
    const zipped = path.endsWith('.zip');
    const taken = zipped ? host.kind(path) !== 'nothing' : host.kind(host.join(path, 'farm.json')) !== 'nothing';
    if (taken || (!zipped && host.kind(path) === 'file')) {
      host.err(`There is already something at ${path}: nothing was written.\n`);
      return 2;
    }
    const units = options['units']?.[0] ?? 'us';
    const offset = Number(options['utc-offset']?.[0] ?? 0);
    if ((units !== 'us' && units !== 'metric') || !Number.isFinite(offset)) {
      host.err('--units is us or metric, --utc-offset a number of minutes.\n');
      return 2;
    }
    const name = options['name']?.[0] ?? host.baseName(path).replace(/\.zip$/, '');
    const farm = { ...emptyFarm(slug(name), name), display: units, utcOffsetMinutes: offset } as const;
    const text = new TextEncoder().encode(writeFarmText(farm));
    if (zipped) host.write(path, writeArchive([{ name: 'farm.json', bytes: text }]));
    else host.write(host.join(path, 'farm.json'), text);
    if (json) printJson(host, { farm: path, id: farm.id, name });
    else host.out(`Made the farm "${name}" at ${path}. Bring boundaries in: seedfall add ${path} FILE…\n`);
    return 0;
  },
};

function slug(name: string): string {
  return (
    name
      .normalize('NFKD')
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 40) || 'farm'
  );
}
