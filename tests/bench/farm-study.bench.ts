/**
 * The sample farm studied by the command line, each run in a process of its own: from raw files, from the assembled farm
 * without results, again unchanged, and after one more count. Three repeats of each.
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { speciesIdOf } from '../../shared/agronomy/species-names.ts';
import type { Study } from '../../shared/analysis/study.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { commandLine, sampleFolder } from './built.mjs';
import { addUsage, bestOf, runMeasured, tellUsage, type Usage } from './measured-child.ts';
import { type Row, row } from './row.ts';

const REPEATS = 3;
const TARGET_S = 15;
const TARGET_MIB = 1.5 * 1024;
/** Not a person's raw data: the rest of the document, and the planted truth. */
const NOT_RAW = ['settings.json', 'truth.json'];
/** What a new count can never make stale. */
const FROM_FILES = ['records', 'field', 'harvest-path', 'season'];

export function run(): { rows: Row[] } {
  const sample = sampleFolder();
  const work = mkdtempSync(join(tmpdir(), 'seedfall-farm-study-'));
  try {
    const raw: Usage[] = [];
    const [cold, again, changed]: [Usage[], Usage[], Usage[]] = [[], [], []];
    let steps: Study['steps'] = {};
    const farm = join(work, 'assembled');
    cpSync(sample, farm, { recursive: true, filter: (from) => !from.includes('.derived') });
    const document = readFileSync(join(farm, 'farm.json'), 'utf8');
    for (let repeat = 0; repeat < REPEATS; repeat++) {
      raw.push(fromRawFiles(join(work, `raw-${repeat}`), rawFiles(join(sample, 'files'))));

      rmSync(join(farm, '.derived'), { recursive: true, force: true });
      const first = study(farm);
      cold.push(first);
      const second = study(farm);
      again.push(second);
      if (total(second.steps).ran > 0) throw new Error('an unchanged farm was not studied from stored results alone');
      writeFileSync(join(farm, 'farm.json'), withOneMoreCount(document));
      const third = study(farm);
      changed.push(third);
      writeFileSync(join(farm, 'farm.json'), document);
      const stale = FROM_FILES.filter((step) => third.steps[step] && third.steps[step].ran > 0);
      if (stale.length > 0) throw new Error(`one count made ${stale.join(', ')} run again`);
      if (total(third.steps).ran === 0) throw new Error('one more count changed nothing');
      steps = third.steps;
      if (repeat === 0)
        console.log(
          `${first.fields} fields, ${total(first.steps).ran} results of ${Object.keys(first.steps).length} steps`,
        );
    }

    const best = [raw, cold, again, changed].map(bestOf) as [Usage, Usage, Usage, Usage];
    console.log(`from raw files (new, add, study):   ${tellUsage(best[0])}`);
    console.log(`assembled farm, nothing stored:     ${tellUsage(best[1])}`);
    console.log(`again, unchanged:                   ${tellUsage(best[2])}; nothing run`);
    const { ran, reused } = total(steps);
    console.log(`after one more count in one field:  ${tellUsage(best[3])}; ${ran} run, ${reused} reused`);
    for (const [step, count] of Object.entries(steps)) {
      console.log(
        `  ${step.padEnd(16)} ${String(count.ran).padStart(4)} run  ${String(count.reused).padStart(4)} reused`,
      );
    }
    return {
      rows: [
        row('from raw files: time', best[0].wallS, 's', { atMost: TARGET_S }),
        row('from raw files: CPU time', best[0].cpuS, 's'),
        row('from raw files: peak memory', best[0].peakMiB, 'MiB', { atMost: TARGET_MIB }),
        row('assembled farm, nothing stored: time', best[1].wallS, 's', { atMost: TARGET_S }),
        row('assembled farm, nothing stored: CPU time', best[1].cpuS, 's'),
        row('assembled farm, nothing stored: peak memory', best[1].peakMiB, 'MiB', { atMost: TARGET_MIB }),
        row('unchanged: time', best[2].wallS, 's'),
        row('unchanged: CPU time', best[2].cpuS, 's'),
        row('one more count: time', best[3].wallS, 's'),
        row('one more count: CPU time', best[3].cpuS, 's'),
        row('one more count: share of the results run again', (100 * ran) / (ran + reused), '%'),
      ],
    };
  } finally {
    rmSync(work, { recursive: true });
  }
}

/** Every raw file, folders walked. */
function rawFiles(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !NOT_RAW.includes(entry.name))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}

function fromRawFiles(farm: string, files: readonly string[]): Usage {
  const made = runMeasured(commandLine, ['new', farm]);
  const added = runMeasured(commandLine, ['add', farm, ...files, '--json']);
  const { added: taken, refused } = JSON.parse(added.stdout) as { added: unknown[]; refused: number };
  if (refused > 0 || taken.length !== files.length) throw new Error(`${taken.length} of ${files.length} files came in`);
  const studied = study(farm);
  if (studied.fields !== 14) throw new Error(`expected 14 fields from the raw files, got ${studied.fields}`);
  rmSync(farm, { recursive: true });
  return addUsage([made, added, studied]);
}

function study(farm: string): Usage & { steps: Study['steps']; fields: number } {
  const { stdout, ...usage } = runMeasured(commandLine, ['study', farm, '--json']);
  const { steps, fields } = JSON.parse(stdout) as Study;
  return { ...usage, steps, fields: fields.length };
}

function total(steps: Study['steps']): { ran: number; reused: number } {
  return Object.values(steps).reduce((sum, one) => ({ ran: sum.ran + one.ran, reused: sum.reused + one.reused }), {
    ran: 0,
    reused: 0,
  });
}

/** The document with one observation typed into its last round, in the middle of its first field. */
function withOneMoreCount(document: string): string {
  const farm = JSON.parse(document) as Farm;
  const round = farm.rounds.at(-1)!;
  round.typed.push({
    at: farm.fields[0]!.frameOrigin,
    on: round.to,
    species: speciesIdOf('waterhemp')!,
    effortM2: 1,
    count: 3,
  });
  return JSON.stringify(farm);
}
