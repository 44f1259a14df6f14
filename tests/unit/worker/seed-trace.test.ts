import { beforeAll, describe, expect, it } from 'vitest';
import { KeptDrives } from '../../../shared/analysis/kept-drives.ts';
import { followSeed, type SeedTraceAsk, traceBase } from '../../../shared/analysis/seed-trace.ts';
import type { Progress } from '../../../src/worker/protocol.ts';
import type { OpenFarm } from '../../../src/worker/open-farm.ts';
import { seedTraceQuestion } from '../../../src/worker/questions/seed-trace.ts';
import { openedFarm, studied } from '../../support/open-farm.ts';
import { placeIn } from '../../support/small-farm.ts';
import { hostWithFarm } from '../../support/small-farm-host.ts';

let open: OpenFarm;
beforeAll(async () => {
  open = await openedFarm('farm.zip', hostWithFarm('farm.zip').files.get('farm.zip')!);
  studied(open);
}, 60_000);

const about = (way: 'from' | 'to', x: number, field: 'West' | 'East' = 'West'): SeedTraceAsk => ({
  field: field.toLowerCase(),
  season: 2026,
  way,
  ground: { at: placeIn(field, x, 50), radiusM: 15 },
});
const base = (ask: SeedTraceAsk) => traceBase(open.farm, ask, (step, scope) => open.outcome(step, scope))!;
function toEnd(ask: SeedTraceAsk, kept?: KeptDrives) {
  const progress: number[] = [];
  const work = followSeed(base(ask), kept);
  for (let turn = work.next(); ; turn = work.next()) {
    if (turn.done) return { trace: turn.value, progress };
    progress.push(turn.value[0] / turn.value[1]);
  }
}

describe('drives that are kept', () => {
  it.each([
    ['a log', 'West'],
    ['an assumed path, both ways', 'East'],
  ] as const)('change nothing in what the next ground is told: %s', (_, field) => {
    const kept = new KeptDrives();
    for (const way of ['to', 'from'] as const) {
      for (const x of [40, 80]) {
        const ask = about(way, x, field);
        expect(toEnd(ask, kept).trace).toEqual(toEnd(ask).trace);
      }
    }
  });

  it('are the same objects for the same field, and are made anew for another', () => {
    const kept = new KeptDrives();
    const west = kept.of(base(about('to', 40)).rests);
    expect(kept.of(base(about('from', 80)).rests)).toBe(west);
    expect(kept.of(base(about('to', 40, 'East')).rests)).not.toBe(west);
    expect(kept.of(base(about('to', 40)).rests)).not.toBe(west);
  });
});

describe('the question', () => {
  it('says how far it is, never backward', async () => {
    const { progress } = toEnd(about('to', 60));
    expect([...progress].sort((a, b) => a - b)).toEqual(progress);
    expect(progress.at(-1)!).toBeLessThanOrEqual(1);
    const told: Progress[] = [];
    expect(await seedTraceQuestion(open, about('to', 60), (one) => void told.push(one))).not.toBeNull();
    expect(told.length).toBeGreaterThan(3);
    expect(told[0]!.title).toBe('Following the seed');
  });

  it('gives way to one that was asked later', async () => {
    const first = seedTraceQuestion(open, about('to', 40, 'East'), () => undefined);
    const second = seedTraceQuestion(open, about('to', 80, 'East'), () => undefined);
    expect((await second)!.ground).toEqual(about('to', 80, 'East').ground);
    const answer = await first;
    // A machine that is done within one turn was not overtaken.
    if (answer) expect(answer.ground).toEqual(about('to', 40, 'East').ground);
  });
});
