import { takeIn } from '../../../shared/analysis/take-in.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { Bundle } from '../../../shared/import/importer.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import type { Problem } from '../../../shared/model/problem.ts';
import type { ByteSource, FileKind } from '../../../shared/model/records.ts';
import type { Command } from '../command.ts';
import { drive, percent } from '../drive.ts';
import { digestOfSource, openFarm } from '../farm-store.ts';
import { bundlesAt } from '../incoming.ts';
import { printJson, printProblems } from '../print.ts';
import { READING_OPTIONS, readingWishes } from '../reading-options.ts';

/** Boundaries first: everything else is placed by them. */
const ORDER: readonly FileKind[] = [
  'boundaries',
  'crops',
  'weather',
  'sprayings',
  'scouting',
  'ratings',
  'drawn patches',
  'harvest log',
];

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
    const opened = openFarm(host, words[0]!);
    if (!opened.ok) {
      printProblems(host, opened.problems);
      return 2;
    }
    const store = opened.value;
    let { farm } = store;
    const { bundles, missing } = bundlesAt(host, words.slice(1));
    const problems: Problem[] = [...missing];
    let refusedCount = missing.length;
    const read = bundles.flatMap((bundle) => {
      const outcome = drive(
        host,
        readBundle(bundle, wishes),
        ([done, total]) => `${bundle.name} ${percent(done, total)}`,
      );
      problems.push(...named(outcome.problems, bundle));
      if (outcome.ok) return [{ bundle, read: outcome.value }];
      refusedCount++;
      return [];
    });
    read.sort((a, b) => ORDER.indexOf(a.read.reading.takenFor) - ORDER.indexOf(b.read.reading.takenFor));
    const added: { file: string; takenFor: string; summary: string }[] = [];
    const attachments: { sha256: string; source: ByteSource }[] = [];
    for (const { bundle, read: one } of read) {
      const main = bundle.parts.find((part) => part.name === bundle.name)!;
      const rest = bundle.parts.filter((part) => part !== main);
      const parts = rest.map((part) => ({
        name: part.name,
        sha256: digestOfSource(part),
        bytes: part.size,
        source: part,
      }));
      const sha256 = digestOfSource(main);
      const lost = [{ name: main.name, sha256, source: main }, ...parts].filter(
        (part) =>
          farm.files.some((file) => file.sha256 === part.sha256) && store.door.open(part.sha256, part.name) === null,
      );
      if (lost.length > 0 && farm.files.some((file) => file.sha256 === sha256)) {
        attachments.push(...lost);
        added.push({ file: bundle.name, takenFor: one.reading.takenFor, summary: 'the attachment that was missing' });
        continue;
      }
      const taken = takeIn(farm, { name: bundle.name, sha256, bytes: main.size, parts, read: one, wishes });
      problems.push(...named(taken.problems, bundle));
      if (!taken.ok) {
        refusedCount++;
        continue;
      }
      farm = applyEdit(farm, taken.value.edit).farm;
      attachments.push(
        { sha256, source: main },
        ...parts.map((part) => ({ sha256: part.sha256, source: part.source })),
      );
      added.push({ file: bundle.name, takenFor: one.reading.takenFor, summary: taken.value.summary });
    }
    const unsaved = added.length > 0 ? store.save(farm, attachments) : [];
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

function named(problems: readonly Problem[], bundle: Bundle): Problem[] {
  return problems.map((one) =>
    one.where?.file === undefined ? { ...one, where: { ...one.where, file: bundle.name } } : one,
  );
}
