import type { IncomingFile } from '../../../shared/analysis/take-in.ts';
import { takeInAll } from '../../../shared/analysis/take-in-all.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { Bundle, ReadFile, ReadingWishes } from '../../../shared/import/importer.ts';
import type { Problem } from '../../../shared/model/problem.ts';
import type { ByteSource } from '../../../shared/model/records.ts';
import type { Command } from '../command.ts';
import { drive, percent } from '../drive.ts';
import { digestOfSource } from '../farm-store.ts';
import { bundlesAt } from '../incoming.ts';
import { openOrTell } from '../opened.ts';
import { printJson, printProblems } from '../print.ts';
import { READING_OPTIONS, readingWishes } from '../reading-options.ts';

export const addCommand: Command = {
  name: 'add',
  words: 'FARM FILE…',
  summary: 'bring files into a farm, each kept byte for byte',
  more: 'Files may come in any order and all at once: boundaries are taken first. A file that is refused leaves the farm as it was.',
  examples: ['add my-farm *.csv boundaries.geojson', 'add my-farm patches.geojson --season 2026'],
  options: READING_OPTIONS,
  takes: [2, Infinity],
  run({ words, options, host, json }) {
    const wishes = readingWishes(options);
    if ('wrong' in wishes) {
      host.err(`${wishes.wrong}\n`);
      return 2;
    }
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const { bundles, missing } = bundlesAt(host, words.slice(1));
    const problems: Problem[] = [...missing];
    let refusedCount = missing.length;
    const read = bundles.flatMap((bundle): Incoming[] => {
      const outcome = drive(
        host,
        readBundle(bundle, wishes),
        ([done, total]) => `${bundle.name} ${percent(done, total)}`,
      );
      problems.push(...named(outcome.problems, bundle.name));
      if (outcome.ok) return [incoming(bundle, outcome.value, wishes)];
      refusedCount++;
      return [];
    });
    const isLost = (sha256: string) =>
      store.farm.files.some((file) => file.sha256 === sha256 && store.door.open(sha256, file.name) === null);
    const taken = takeInAll(store.farm, read, isLost);
    for (const { file, summary, problems: told } of taken.files) {
      problems.push(...named(told, file.name));
      if (summary === null) refusedCount++;
    }
    const came = taken.files.filter((one) => one.summary !== null);
    const added = came.map(({ file, summary }) => ({
      file: file.name,
      takenFor: file.read.reading.takenFor,
      summary: summary!,
    }));
    const attachments = came.flatMap(({ file, restored }) =>
      file.attachments.filter(({ sha256 }) => !restored || isLost(sha256)),
    );
    const unsaved = added.length > 0 ? store.save(taken.farm, attachments) : [];
    if (unsaved.length > 0) {
      refusedCount += added.length;
      added.length = 0;
      problems.push(...unsaved);
    }
    if (json) printJson(host, { farm: store.path, added, refused: refusedCount, problems });
    else {
      for (const one of added) host.out(`Added ${one.summary} from ${one.file}.\n`);
      printProblems(host, problems);
      host.out(
        added.length > 0 ? `Next: seedfall study ${store.path}\n` : 'Nothing was added: the farm is as it was.\n',
      );
    }
    if (added.length === 0) return 2;
    return refusedCount > 0 || problems.some((one) => one.level === 'error') ? 1 : 0;
  },
};

interface Incoming extends IncomingFile {
  readonly attachments: readonly { readonly sha256: string; readonly source: ByteSource }[];
}

function incoming(bundle: Bundle, read: ReadFile, wishes: ReadingWishes): Incoming {
  const main = bundle.parts.find((part) => part.name === bundle.name)!;
  const attachments = [main, ...bundle.parts.filter((part) => part !== main)].map((source) => ({
    sha256: digestOfSource(source),
    source,
  }));
  const [first, ...rest] = attachments;
  return {
    name: bundle.name,
    sha256: first!.sha256,
    bytes: main.size,
    parts: rest.map(({ sha256, source }) => ({ name: source.name, sha256, bytes: source.size })),
    read,
    wishes,
    attachments,
  };
}

function named(problems: readonly Problem[], file: string): Problem[] {
  return problems.map((one) => (one.where?.file === undefined ? { ...one, where: { ...one.where, file } } : one));
}
