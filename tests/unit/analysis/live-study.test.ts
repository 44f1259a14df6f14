import { beforeAll, describe, expect, test } from 'vitest';
import { LiveStudy } from '../../../shared/analysis/live-study.ts';
import { memoryStore } from '../../../shared/analysis/memory-store.ts';
import type { Ranking } from '../../../shared/analysis/ranking.ts';
import type { FileDoor, ResultStore } from '../../../shared/analysis/step.ts';
import { startRunner, type StudyEvent, studyFarm, type StudyRun } from '../../../shared/analysis/study.ts';
import { applyEdit, type Edit } from '../../../shared/model/edit.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { openFarm } from '../../../src/cli/farm-store.ts';
import { drawPatch, drawZone, rateField, typeCount } from '../../support/farm-edits.ts';
import { drive } from '../../support/import-text.ts';
import { furnish, hostWithFarm } from '../../support/small-farm-host.ts';
import { placeIn } from '../../support/small-farm.ts';

const forgetful: ResultStore = { has: () => false, read: () => null, write: () => undefined };
let farm: Farm;
let door: FileDoor;

beforeAll(() => {
  const host = hostWithFarm('farm');
  furnish(host, 'farm');
  const opened = openFarm(host, 'farm');
  if (!opened.ok) throw new Error(opened.problems[0]!.text);
  farm = opened.value.farm;
  door = opened.value.door;
});

/** One of each kind, most of them twice over. */
const edits: readonly ((farm: Farm) => Edit)[] = [
  (now) => rateField(now, 'east', 'waterhemp', 'patches'),
  (now) => typeCount(now, placeIn('West', 30, 90), 'waterhemp', 4),
  (now) => drawZone(now, 'west', 'waterhemp', placeIn('West', 10, 10), 0.0006),
  (now) => rateField(now, 'east', 'waterhemp', 'throughout'),
  (now) => drawPatch(now, 'east', 'waterhemp', placeIn('East', 30, 30), 0.0005),
  (now) => typeCount(now, placeIn('East', 60, 60), 'waterhemp', 2),
  () => ({ label: 'Half the budget', sets: [{ path: ['planning', 'budget'], value: 900 }] }),
  (now) => ({ label: 'Rename', sets: [{ path: ['fields', 0, 'name'], value: `${now.fields[0]!.name} again` }] }),
  (now) => ({
    label: 'No log of Middle any more',
    sets: [{ path: ['seasons'], value: now.seasons.map((one) => ({ ...one, visits: one.visits.slice(0, 1) })) }],
  }),
];

/** Everything that a study tells, but for what it computed and what it found. */
function told({ study, figures }: StudyRun) {
  const { steps: _, ...rest } = study;
  return { study: rest, figures: Object.fromEntries(figures.paths().map((path) => [path, figures.get(path)])) };
}
const fresh = (of: Farm) => told(drive(studyFarm(startRunner(of, door, memoryStore()))));

function watch(work: Generator<StudyEvent, StudyRun, void>): { run: StudyRun; rankings: Ranking[] } {
  const rankings: Ranking[] = [];
  for (;;) {
    const turn = work.next();
    if (turn.done) return { run: turn.value, rankings };
    if ('ranking' in turn.value) rankings.push(turn.value.ranking);
  }
}
const ran = ({ study }: StudyRun) =>
  Object.entries(study.steps).flatMap(([step, count]) => (count.ran > 0 ? [step] : []));

describe('a chain of edits', () => {
  test('leaves the same study and figures as the farm that it leads to, studied anew; undone, the first', () => {
    const live = new LiveStudy(door, memoryStore());
    let now = farm;
    const first = told(drive(live.study(now)));
    expect(first).toEqual(fresh(now));
    const back: Edit[] = [];
    for (const make of edits) {
      const { farm: after, reverse } = applyEdit(now, make(now));
      now = after;
      back.unshift(reverse);
      expect(told(drive(live.study(now)))).toEqual(fresh(now));
    }
    for (const edit of back) now = applyEdit(now, edit).farm;
    expect(now).toEqual(farm);
    const again = drive(live.study(now));
    expect(told(again)).toEqual(first);
    expect(ran(again)).toEqual([]);
  }, 60_000);

  test.each([
    ['a store that keeps', memoryStore, 100_000],
    ['no store, so that results are computed again', () => forgetful, 2_000_000],
  ])(
    'is the same with little memory and %s',
    (_, store, limitBytes) => {
      const live = new LiveStudy(door, store(), limitBytes);
      let now = farm;
      for (const make of edits.slice(0, 4)) {
        now = applyEdit(now, make(now)).farm;
        expect(told(drive(live.study(now)))).toEqual(fresh(now));
        expect(live.heldBytes).toBeLessThanOrEqual(limitBytes);
      }
    },
    60_000,
  );

  test('given up half way, the next study is whole', () => {
    const live = new LiveStudy(door, memoryStore());
    const work = live.study(farm);
    for (let turn = 0; turn < 40; turn++) work.next();
    work.return(undefined as never);
    const now = applyEdit(farm, edits[0]!(farm)).farm;
    expect(told(drive(live.study(now)))).toEqual(fresh(now));
  });
});

describe('the ranking that comes first', () => {
  test('is told once it is certain, and nothing in it changes with the study', () => {
    const live = new LiveStudy(door, memoryStore());
    for (const now of [farm, applyEdit(farm, edits[0]!(farm)).farm]) {
      const { run, rankings } = watch(live.study(now));
      // Before it, a quick look at counts whose chains were not run yet.
      expect(rankings.map((one) => one.quickMaps).at(-1)).toBe(false);
      const certain = rankings.at(-1)!;
      expect(certain.fields.map((one) => one.id)).toEqual(run.study.fields.map((one) => one.id));
      certain.fields.forEach((ranked, index) => expect(run.study.fields[index]).toMatchObject(ranked));
    }
  });
  test('at first look leaves all seed where it grew and says so; then comes the one that is certain', () => {
    const live = new LiveStudy(door, memoryStore());
    const read: string[] = [];
    let looked = false;
    const { run, rankings } = watch(
      (function* () {
        const work = live.study(farm, { firstLook: true });
        for (;;) {
          const turn = work.next();
          if (turn.done) return turn.value;
          if ('ranking' in turn.value) looked = true;
          else if (!looked && turn.value.step === 'records') read.push(turn.value.scope.file!);
          yield turn.value;
        }
      })(),
    );
    expect(rankings.map((one) => one.seedStays)).toEqual([true, false]);
    const logs = farm.files.filter((one) => one.kind === 'harvest log').map((one) => one.id);
    expect(read.filter((file) => logs.includes(file))).toEqual([]);
    for (const one of rankings[0]!.fields) expect(['a', 'b', 'c']).toContain(one.evidence);
    expect(rankings[0]!.fields.map((one) => one.id).sort()).toEqual(run.study.fields.map((one) => one.id).sort());
    expect(told(run)).toEqual(fresh(farm));
    // Once the logs are retraced there is nothing to look at first.
    expect(watch(live.study(farm, { firstLook: true })).rankings).toHaveLength(1);
  });
  test('does not wait for mild and harsh biology', () => {
    const live = new LiveStudy(door, memoryStore());
    const cases = new Set<string>();
    for (const event of live.study(farm)) {
      if ('ranking' in event) break;
      if (event.scope.case) cases.add(event.scope.case);
    }
    expect([...cases]).toEqual(['central']);
  });
});

describe('what an edit costs', () => {
  test('nothing is computed again where nothing changed', () => {
    const live = new LiveStudy(door, memoryStore());
    drive(live.study(farm));
    expect(ran(drive(live.study(farm)))).toEqual([]);
  });
  test('a drawn zone does not move seed again, and leaves other fields as the same objects', () => {
    const live = new LiveStudy(door, memoryStore());
    const before = drive(live.study(farm)).study;
    const now = applyEdit(farm, drawZone(farm, 'west', 'waterhemp', placeIn('West', 10, 10), 0.0006)).farm;
    const run = drive(live.study(now));
    expect(ran(run)).not.toContain('movement-own');
    expect(ran(run)).toContain('zones');
    const fieldOf = (study: typeof before, id: string) => study.fields.find((one) => one.id === id)!;
    expect(fieldOf(run.study, 'east')).toBe(fieldOf(before, 'east'));
    expect(fieldOf(run.study, 'west')).not.toBe(fieldOf(before, 'west'));
  });
});

describe('work ahead of a rating', () => {
  test('leaves nothing of the machine to be run when the rating comes', () => {
    const live = new LiveStudy(door, memoryStore());
    drive(live.study(farm));
    drive(live.ahead());
    const now = applyEdit(farm, rateField(farm, 'east', 'waterhemp', 'few')).farm;
    const run = drive(live.study(now));
    expect(ran(run)).toContain('movement-own');
    expect(ran(run)).not.toContain('movement-even');
    expect(ran(run)).not.toContain('program-effect');
    expect(told(run)).toEqual(fresh(now));
  });
});

describe('a season', () => {
  test('before the last is told from its records; what was not looked at is unknown, and nothing is chosen', () => {
    const live = new LiveStudy(door, memoryStore());
    const { study } = drive(live.study(farm, { season: 2025 }));
    expect(study.farm.season).toBe(2025);
    expect(study.budget).toMatchObject({ available: null, spentPerYear: null, gain: null });
    for (const field of study.fields) {
      expect(field).toMatchObject({ tier: null, rank: null, lookRank: null, chosenProgram: null, ledger: null });
      expect(field.stake.central).toBeNull();
      expect(field.why).not.toContain('go and look');
    }
    expect(study.problems.map((one) => one.code)).toContain('earlier-season');
  });
  test('looked at in between changes nothing in the last', () => {
    const live = new LiveStudy(door, memoryStore());
    const first = told(drive(live.study(farm)));
    drive(live.study(farm, { season: 2025 }));
    expect(told(drive(live.study(farm)))).toEqual(first);
  });
});

describe('one result of the farm', () => {
  test('is that of the study, and a question about it leaves no trace in the next', () => {
    const live = new LiveStudy(door, memoryStore());
    expect(() => drive(live.outcome('field', { field: 'west' }))).toThrow('no farm');
    const first = told(drive(live.study(farm)));
    const asked = drive(live.outcome('infestation', { field: 'east', season: 2025, species: 'waterhemp' }));
    expect(asked.ok).toBe(true);
    expect(told(drive(live.study(farm)))).toEqual(first);
  });
});
