import { beforeAll, describe, expect, it } from 'vitest';
import type { FieldMachineLoad } from '../../../shared/analysis/steps/machine-load.ts';
import type { FieldHarvestPath } from '../../../shared/analysis/steps/harvest-path.ts';
import type { FieldLanded } from '../../../shared/analysis/steps/landed.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import { STREAM_IDS } from '../../../shared/harvest/machine-streams.ts';
import { FLAG_NAMES } from '../../../shared/model/log-flags.ts';
import { CASES } from '../../../shared/model/range.ts';
import { dayNumber } from '../../../shared/units/calendar.ts';
import type { OpenFarm } from '../../../src/worker/open-farm.ts';
import { flaggedRecordsQuestion } from '../../../src/worker/questions/flagged-records.ts';
import { harvestOrderQuestion } from '../../../src/worker/questions/harvest-order.ts';
import { harvestPathQuestion } from '../../../src/worker/questions/harvest-path.ts';
import { machineLoadQuestion } from '../../../src/worker/questions/machine-load.ts';
import { seasonStripQuestion } from '../../../src/worker/questions/season-strip.ts';
import { closeTo } from '../../support/close-to.ts';
import { openedFarm, studied } from '../../support/open-farm.ts';
import { hostWithFarm } from '../../support/small-farm-host.ts';

/** The small farm: West and Middle with a log, East without one and unlooked. */
let open: OpenFarm;
let study: Study;
const SEASON = 2026;

beforeAll(async () => {
  open = await openedFarm('farm.zip', hostWithFarm('farm.zip').files.get('farm.zip')!);
  study = studied(open);
}, 60_000);

const single = { within: 1e-6, because: 'kept in single precision for the screen' };
const heldAt = (load: FieldMachineLoad, point: number) =>
  STREAM_IDS.reduce((sum, id) => sum + load.heldSeeds[id][point]!, 0);
const total = (values: Float32Array) => values.reduce((a, b) => a + b, 0);

describe('the path that is shown', () => {
  it('says on how much of the field a yield is mapped', () => {
    const shown = (field: string) => harvestPathQuestion(open, { field, season: SEASON })!.mappedFraction;
    const { path } = open.outcome<FieldHarvestPath>('harvest-path', { field: 'west', season: SEASON })!;
    const known = path.yieldGrid!.values.filter((value) => !Number.isNaN(value)).length;
    expect(shown('west')).toBeGreaterThan(0.5);
    expect(shown('west')).toBeLessThanOrEqual(1);
    expect(known).toBeGreaterThan(0);
    expect(shown('east'), 'no log').toBeNull();
  });
});

describe('flagged records', () => {
  it('are all that carry the flag, each with its place and its row', () => {
    const { flagged } = study.fields.find((one) => one.id === 'west')!.harvest!;
    const kinds = FLAG_NAMES.filter((name) => (flagged[name] ?? 0) > 0);
    expect(kinds.length).toBeGreaterThan(0);
    for (const flag of kinds) {
      const told = flaggedRecordsQuestion(open, { field: 'west', season: SEASON, flag })!;
      expect(told.at.length + told.placeless).toBe(flagged[flag]);
      expect(told.rows.length).toBe(told.at.length);
      expect(new Set(told.rows).size).toBe(told.rows.length);
    }
  });

  it('of a field without a log are not told', () => {
    expect(flaggedRecordsQuestion(open, { field: 'east', season: SEASON, flag: 'header-up' })).toBeNull();
  });
});

describe('machine load', () => {
  it.each(CASES)('agrees with the ledger of a field whose log is followed, %s', (which) => {
    for (const field of ['west', 'middle']) {
      const load = machineLoadQuestion(open, { field, season: SEASON, case: which })!;
      const { ledger } = open.outcome<FieldLanded>('landed', { field, season: SEASON, case: which })!;
      const scale = { within: 1e-6 * (ledger.producedSeeds + ledger.carriedInSeeds + 1e-9), because: single.because };
      closeTo(total(load.depositSeeds), ledger.landedByMachineSeeds, scale);
      closeTo(total(load.headerSeeds), ledger.headerLossSeeds, scale);
      closeTo(load.leftInMachineSeeds, ledger.leftInMachineSeeds, scale);
      closeTo(load.carriedInSeeds!, ledger.carriedInSeeds, scale);
      closeTo(heldAt(load, 0), load.carriedInSeeds!, scale);
    }
  });

  it('has one element a point of the path, and no more seed aboard than was produced and brought', () => {
    const load = machineLoadQuestion(open, { field: 'west', season: SEASON, case: 'central' })!;
    const path = harvestPathQuestion(open, { field: 'west', season: SEASON })!;
    const ledger = study.fields.find((one) => one.id === 'west')!.ledger!.central;
    for (const values of [...Object.values(load.heldSeeds), load.depositSeeds, load.headerSeeds]) {
      expect(values.length).toBe(path.timeS.length);
    }
    const most = load.heldSeeds.lodged.reduce((max, _, k) => Math.max(max, heldAt(load, k)), 0);
    expect(most).toBeGreaterThan(0);
    expect(most).toBeLessThan(ledger.producedSeeds);
  });

  it('hands out copies: what is asked twice is equal', () => {
    const ask = { field: 'west', season: SEASON, case: 'central' } as const;
    const first = machineLoadQuestion(open, ask)!;
    structuredClone(first.depositSeeds, { transfer: [first.depositSeeds.buffer] });
    expect(first.depositSeeds.length).toBe(0);
    expect(machineLoadQuestion(open, ask)!.depositSeeds.length).toBeGreaterThan(0);
  });

  it('of a field without a day tells its own seed, and that what came aboard is not known', () => {
    const load = machineLoadQuestion(open, { field: 'east', season: SEASON, case: 'central' })!;
    expect(load.carriedInSeeds).toBeNull();
    expect(heldAt(load, 0)).toBe(0);
  });
});

describe('harvest order', () => {
  it('follows the machine in time, what leaves one field coming into the next', () => {
    const [round, ...more] = harvestOrderQuestion(open, { season: SEASON });
    expect(more).toEqual([]);
    expect(round!.stops.map((one) => one.field)).toEqual(['west', 'middle', 'east']);
    const [west, middle, east] = round!.stops;
    expect(west!.carriedIn.central).toBe(0);
    expect(west!.carriedOut.central!).toBeGreaterThan(0);
    expect(middle!.carriedIn).toEqual(west!.carriedOut);
    expect(middle!.carriedIn).toEqual(study.fields.find((one) => one.id === 'middle')!.carriedIn);
    expect(east).toMatchObject({ startS: null, hasLog: false, implied: true });
    expect(east!.carriedIn).toEqual({ low: null, central: null, high: null });
  });

  it('takes a clean-out off what comes in, and says how much', () => {
    const visits = open.farm.seasons.findIndex((one) => one.year === SEASON);
    const at = open.farm.seasons[visits]!.visits.findIndex((one) => one.field === 'middle');
    const path = ['seasons', visits, 'visits', at, 'cleanOutBefore'];
    const before = harvestOrderQuestion(open, { season: SEASON })[0]!.stops[1]!;
    open.apply({ label: 'clean', sets: [{ path, value: 'thorough' }] });
    const cleaned = harvestOrderQuestion(open, { season: SEASON })[0]!.stops[1]!;
    open.apply({ label: 'back', sets: [{ path, value: undefined }] });
    expect(cleaned.cleanOutBefore).toBe('thorough');
    expect(cleaned.removedAtCleanOut.central!).toBeGreaterThan(0);
    closeTo(cleaned.carriedIn.central! + cleaned.removedAtCleanOut.central!, before.carriedIn.central!, {
      within: 1e-9 * before.carriedIn.central!,
      because: 'a share and its rest',
    });
  });
});

describe('season strip', () => {
  it('holds weather, planting, sprayings, rounds and harvest of its field on their days', () => {
    const strip = seasonStripQuestion(open, { field: 'west', season: SEASON })!;
    const day = (text: string) => dayNumber(text)!;
    expect(strip.firstDay).toBe(day('2026-01-01'));
    expect(strip.weather!.rainMm[6]).toBe(12);
    expect(strip).toMatchObject({ plantedStated: true, plantedDay: day('2026-05-08'), harvestDay: day('2026-10-03') });
    expect(strip.sprayings).toMatchObject([
      { day: day('2026-05-10'), closed: null, parts: [{ ingredient: 'S-metolachlor', rateFraction: 1 }] },
    ]);
    expect(strip.rounds).toMatchObject([{ fromDay: day('2026-08-28') }]);
    const [weed] = strip.species;
    const told = study.fields.find((one) => one.id === 'west')!.season!.bySpecies[0]!;
    expect(weed!.uncoveredFraction).toEqual(told.uncoveredFraction);
    expect(weed!.gaps.length).toBeGreaterThan(0);
  });

  it('closes the field after a spraying as long as the record, else the typed label, says', () => {
    const at = open.farm.seasons.findIndex((one) => one.year === SEASON);
    open.apply({ label: 'label', sets: [{ path: ['products'], value: [product(24)] }] });
    const byLabel = seasonStripQuestion(open, { field: 'west', season: SEASON })!.sprayings[0]!;
    expect(byLabel.closed).toMatchObject({ hours: 24, from: 'the label of Residual as typed' });
    open.apply({ label: 'typed', sets: [{ path: ['seasons', at, 'sprayed', 0, 'reentryHours'], value: 48 }] });
    const typed = seasonStripQuestion(open, { field: 'west', season: SEASON })!.sprayings[0]!;
    expect(typed.closed).toMatchObject({ hours: 48, from: 'typed with the spraying', toDay: typed.day + 2 });
  });

  it('says what it stands on where neither weather nor planting is known', () => {
    const strip = seasonStripQuestion(open, { field: 'east', season: 2031 })!;
    expect(strip).toMatchObject({ weather: null, plantedStated: false, rounds: [], sprayings: [], harvestDay: null });
    expect(strip.species.map((one) => one.basis)).toEqual(['calendar band']);
  });
});

function product(reentryHours: number) {
  return {
    id: 'residual',
    name: 'Residual',
    parts: [{ ingredient: 'S-metolachlor', group: '15', gPerUnit: 900 }],
    form: 'liquid',
    unit: 'L/ha',
    label: { full: 1.5, reentryHours },
  };
}
