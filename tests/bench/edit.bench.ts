/**
 * The sample farm while it is edited, on one thread: a rating, a count, a zone, nothing; and the first ranked list from raw files. The
 * best of several repeats, each edit another one, so that nothing is remembered from the repeat before.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { LiveStudy } from '../../shared/analysis/live-study.ts';
import { memoryStore } from '../../shared/analysis/memory-store.ts';
import type { StudyWishes } from '../../shared/analysis/live-study.ts';
import type { FileDoor } from '../../shared/analysis/step.ts';
import { applyEdit, type Edit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { readFarmText } from '../../shared/model/farm-text.ts';
import { drawZone, rateField, typeCount } from '../support/farm-edits.ts';
import { sampleFolder } from './built.mjs';
import { type Row, row } from './row.ts';

const REPEATS = 4;
const EDIT_TARGET_MS = 150;
const FIRST_LIST_TARGET_S = 8;
const WEED = 'waterhemp';
const RATINGS = ['few', 'patches', 'throughout', 'none seen'] as const;

interface Took {
  /** To the first ranking and to the study, ms on the clock. */
  readonly rankedMs: number;
  readonly studyMs: number;
}

export function run(): { rows: Row[] } {
  const sample = sampleFolder();
  const read = readFarmText(readFileSync(join(sample, 'farm.json'), 'utf8'));
  if (!read.ok) throw new Error(read.problems[0]?.text);
  const farm = read.value;
  const door = doorOf(sample);

  const looked = study(new LiveStudy(door, memoryStore()), farm, { firstLook: true });
  const live = new LiveStudy(door, memoryStore());
  const raw = study(live, farm);
  for (const work = live.ahead(); !work.next().done;);
  const unlooked = farm.fields.find((one) => one.id === 'far-piece');
  if (!unlooked) throw new Error('the sample has no field that nobody looked at');
  const counted = farm.fields[0]!;
  const repeat = (make: (k: number) => Edit) =>
    best(Array.from({ length: REPEATS }, (_, k) => study(live, applyEdit(farm, make(k)).farm)));
  const rating = repeat((k) => rateField(farm, unlooked.id, WEED, RATINGS[k]!));
  const count = repeat((k) => typeCount(farm, counted.frameOrigin, WEED, 3 + k));
  const zone = repeat((k) => drawZone(farm, counted.id, WEED, counted.frameOrigin, 0.0008 + 0.0001 * k));
  study(live, farm);
  const unchanged = best(Array.from({ length: REPEATS }, () => study(live, farm)));

  const lines: [string, Took][] = [
    ['a rating', rating],
    ['a typed count', count],
    ['a drawn zone', zone],
    ['nothing', unchanged],
    ['from raw files', raw],
    ['from raw files, with a first look', looked],
  ];
  for (const [what, { rankedMs, studyMs }] of lines) {
    const ratio = `${(raw.studyMs / studyMs).toFixed(1)}× as fast as from raw files`;
    console.log(`${what.padEnd(34)} ranked ${rankedMs.toFixed(0)} ms, studied ${studyMs.toFixed(0)} ms, ${ratio}`);
  }
  return {
    rows: [
      row('a rating: to the ranking', rating.rankedMs, 'ms', { atMost: EDIT_TARGET_MS }),
      row('a rating: to the study', rating.studyMs, 'ms'),
      row('a typed count: to the ranking', count.rankedMs, 'ms', { atMost: EDIT_TARGET_MS }),
      row('a typed count: to the study', count.studyMs, 'ms'),
      row('a drawn zone: to the study', zone.studyMs, 'ms', { atMost: EDIT_TARGET_MS }),
      row('nothing changed: to the study', unchanged.studyMs, 'ms'),
      row('raw files: to the first ranked list', looked.rankedMs / 1000, 's', { atMost: FIRST_LIST_TARGET_S }),
      row('raw files: to the certain ranked list', raw.rankedMs / 1000, 's'),
      row('raw files: to the study', raw.studyMs / 1000, 's'),
    ],
  };
}

function study(live: LiveStudy, farm: Farm, wishes: StudyWishes = {}): Took {
  const start = performance.now();
  let rankedMs = NaN;
  for (const event of live.study(farm, wishes)) {
    if ('ranking' in event && Number.isNaN(rankedMs)) rankedMs = performance.now() - start;
  }
  return { rankedMs, studyMs: performance.now() - start };
}

function best(repeats: readonly Took[]): Took {
  return {
    rankedMs: Math.min(...repeats.map((one) => one.rankedMs)),
    studyMs: Math.min(...repeats.map((one) => one.studyMs)),
  };
}

/** Attachments read once, so that the disk is not measured. */
function doorOf(folder: string): FileDoor {
  const read = new Map<string, Uint8Array>();
  return {
    open(sha256, name) {
      const bytes = read.get(sha256) ?? readFileSync(join(folder, 'attachments', sha256));
      read.set(sha256, bytes);
      return { name, size: bytes.length, chunks: () => [bytes] };
    },
  };
}
