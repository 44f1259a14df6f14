import { beforeAll, describe, expect, test } from 'vitest';
import { formulaById } from '../../../shared/analysis/formulas.ts';
import type { FieldLanded } from '../../../shared/analysis/steps/landed.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import type { ZoneNumbers } from '../../../shared/analysis/zone-figures.ts';
import type { FieldZoneNumbers } from '../../../shared/analysis/zone-numbers.ts';
import type { MultiPolygon } from '../../../shared/geometry/types.ts';
import type { Farm, Program } from '../../../shared/model/farm.ts';
import type { Range } from '../../../shared/model/range.ts';
import type { OpenFarm } from '../../../src/worker/open-farm.ts';
import { workingQuestion } from '../../../src/worker/questions/working.ts';
import { zoneNumbersQuestion } from '../../../src/worker/questions/zone-numbers.ts';
import { zoneProposalQuestion } from '../../../src/worker/questions/zone-proposal.ts';
import { closeTo } from '../../support/close-to.ts';
import { rateField } from '../../support/farm-edits.ts';
import { openedFarm, studied } from '../../support/open-farm.ts';
import { furnish, hostWithFarm } from '../../support/small-farm-host.ts';
import { type FieldName, ring } from '../../support/small-farm.ts';

const SEASON = 2026;
let open: OpenFarm;
let study: Study;

/** Costs for every pass, and a program that goes into zones only. */
function priced(farm: Farm): Farm {
  const cost = (program: Program): Program => ({
    ...program,
    passes: program.passes.map((pass) => ({ ...pass, costPerHa: pass.costPerHa ?? 25 })),
  });
  const full = farm.programs.find((one) => one.id === 'full')!;
  const zonal: Program = {
    ...full,
    id: 'zonal',
    name: 'Residual in the zones',
    passes: full.passes.map((pass) => ({ ...pass, where: 'zones' as const })),
  };
  return { ...farm, programs: [...farm.programs.map(cost), zonal] };
}

const area = (field: FieldName, x0: number, y0: number, x1: number, y1: number): MultiPolygon => [
  [ring(field, x0, y0, x1, y1)],
];
/** Three zones of West, the second between the cells of the grid. */
const zones = [
  { id: 'west-A', area: area('West', 0, 0, 60, 50) },
  { id: 'west-B', area: area('West', 63, 7, 111, 58) },
  { id: 'west-C', area: area('West', 20, 70, 100, 110) },
];

function acceptInWest(): void {
  const set = {
    id: 'zones-west-2027',
    field: 'west',
    season: SEASON + 1,
    rules: null,
    zones: zones.map((one) => ({ ...one, letter: one.id.slice(-1) })),
  };
  open.apply({ label: 'Draw zones', sets: [{ path: ['zoneSets'], value: [set] }] });
  study = studied(open);
}

beforeAll(async () => {
  const host = hostWithFarm('farm.zip');
  furnish(host, 'farm.zip');
  open = await openedFarm('farm.zip', host.files.get('farm.zip')!);
  open.apply({ label: 'Price it', sets: [{ path: ['programs'], value: priced(open.farm).programs }] });
  acceptInWest();
}, 60_000);

const ask = (field: string, program: string | null, of = zones): FieldZoneNumbers =>
  zoneNumbersQuestion(open, { field, season: SEASON, program, zones: of })!;
const fieldOf = (id: string) => study.fields.find((one) => one.id === id)!;

const ENDS = ['low', 'central', 'high'] as const;
function addUp(numbers: FieldZoneNumbers, of: (one: ZoneNumbers) => Range): Record<(typeof ENDS)[number], number> {
  const all = [...numbers.zones, numbers.outside].map(of);
  return Object.fromEntries(ENDS.map((end) => [end, all.reduce((sum, one) => sum + one[end]!, 0)])) as never;
}
function sameAs(sums: Record<(typeof ENDS)[number], number>, whole: Range, because: string): void {
  for (const end of ENDS) closeTo(sums[end], whole[end]!, { within: 1e-9 * Math.abs(whole[end]!) + 1e-9, because });
}

describe('on counted ground', () => {
  test('zones and the ground outside of them add up to the field, number by number', () => {
    for (const program of ['full', 'zonal']) {
      const numbers = ask('west', program);
      const field = fieldOf('west');
      const because = 'the same cells, summed in another order';
      sameAs(
        addUp(numbers, (one) => one.lossKg),
        field.yieldLossKg,
        because,
      );
      sameAs(
        addUp(numbers, (one) => one.lossMoney),
        field.yieldLossMoney,
        because,
      );
      const offer = field.programs.find((one) => one.id === program)!;
      // The study takes areas of zones in the flat frame, these are on the ellipsoid: 1e-8 of them.
      const gains = addUp(numbers, (one) => one.gain);
      closeTo(gains.central, offer.gain.central!, {
        within: 1e-6 * Math.abs(offer.gain.central!),
        because: 'areas on the ellipsoid beside areas in the frame',
      });
      const costs = [...numbers.zones, numbers.outside].reduce((sum, one) => sum + one.costPerYear!, 0);
      closeTo(costs, (offer.costPerHa.central! * field.areaM2) / 10_000, { within: 1e-6 * costs, because });
      const landed = open.outcome<FieldLanded>('landed', { field: 'west', season: SEASON, case: 'central' })!;
      const { shedBeforeSeeds, headerLossSeeds, landedByMachineSeeds } = landed.ledger;
      closeTo(addUp(numbers, (one) => one.seeds).central, shedBeforeSeeds + headerLossSeeds + landedByMachineSeeds, {
        within: 1e-9 * landedByMachineSeeds,
        because: 'every seed on the ground lies in a cell',
      });
      const bank = addUp(numbers, (one) => one.bank).central / field.areaM2;
      closeTo(bank, offer.seedbankPerM2ByYear[0]!.central!, { within: 1e-9 * bank, because });
      const areas = [...numbers.zones, numbers.outside].reduce((sum, one) => sum + one.areaM2, 0);
      closeTo(areas, field.areaM2, { within: 1e-6, because: 'geodesic areas' });
    }
  });

  test('the south, where the weed stands, holds the plants; ranks go by the gain for the same ground', () => {
    const all = ask('west', 'full').zones;
    const [a, , c] = all;
    const plants = (one: ZoneNumbers) => one.plants.find((it) => it.species === 'waterhemp')!.range.central!;
    expect(plants(a!) / a!.areaM2).toBeGreaterThan(2 * (plants(c!) / c!.areaM2));
    const byRank = [...all].sort((x, y) => x.rank! - y.rank!).map((one) => one.gainPerHa.central!);
    expect(byRank).toEqual([...byRank].sort((x, y) => y - x));
    for (const range of [a!.seeds, a!.bankPerM2, a!.lossMoney, a!.gainPerHa]) {
      expect(range.low!).toBeLessThanOrEqual(range.central!);
      expect(range.central!).toBeLessThanOrEqual(range.high!);
    }
  });

  test('a program for zones costs nothing outside of them, and a zone drawn anew is valued without a study', () => {
    expect(ask('west', 'zonal').outside.costPerYear).toBe(0);
    const half = [{ id: 'west-A', area: area('West', 0, 0, 60, 25) }];
    const [before] = ask('west', 'zonal').zones;
    const [after] = ask('west', 'zonal', half).zones;
    closeTo(after!.costPerYear!, before!.costPerYear! / 2, { within: 1e-3, because: 'half of the ground' });
    expect(Math.abs(after!.gain.central!)).toBeLessThan(Math.abs(before!.gain.central!));
  });

  test('the numbers of a set that is drawn are those of the study once it is accepted', () => {
    const drawn = ask('west', 'zonal');
    acceptInWest();
    expect(ask('west', 'zonal')).toEqual(drawn);
  });

  test('each number has its working: the formula on its inputs gives the number', () => {
    const numbers = ask('west', 'full');
    for (const one of [...numbers.zones, numbers.outside]) {
      const names = ['areaM2', 'seeds', 'bank', 'bankPerM2', 'lossKg', 'lossMoney', 'gain', 'gainPerHa', 'costPerYear'];
      for (const name of [...names, 'plants/waterhemp']) {
        const working = workingQuestion(open, { path: `${one.path}/${name}` })!;
        const formula = [...formulaById.values()].find(
          (it) => it.text === working.formula && it.gives === working.gives,
        )!;
        const inputs = Object.fromEntries(working.inputs.map((it) => [it.symbol, it.byCase.central!]));
        closeTo(formula.compute(inputs), working.range.central!, { within: 1e-9, because: 'the same formula' });
      }
    }
    expect(workingQuestion(open, { path: 'zone-numbers/nowhere/A/seeds' })).toBeNull();
  });

  test('ground that nobody looked at is named, and never more than there is', () => {
    const { zones: all, outside } = ask('west', 'full');
    for (const one of [...all, outside]) {
      expect(one.unknownAreaM2).toBeGreaterThanOrEqual(0);
      expect(one.unknownAreaM2).toBeLessThanOrEqual(one.areaM2 * 1.1);
    }
  });
});

describe('on a rating', () => {
  const east = [{ id: 'east-A', area: area('East', 0, 0, 120, 30) }];

  test('a zone may miss the weed or hold as much of it as fits: the range says so, and the middle is its share', () => {
    open.apply(rateField(open.farm, 'east', 'waterhemp', 'patches'));
    study = studied(open);
    const numbers = ask('east', 'full', east);
    expect(numbers.notes[0]).toMatch(/rated, not mapped/);
    const [zone] = numbers.zones;
    const plants = zone!.plants.find((one) => one.species === 'waterhemp')!.range;
    expect(plants.low).toBe(0);
    const fieldM2 = fieldOf('east').areaM2;
    closeTo(plants.central!, 0.25 * 0.08 * 2 * fieldM2, {
      within: 1,
      because: 'a quarter of the field, 8 % of it at 2/m²',
    });
    closeTo(plants.high!, 0.25 * 10 * fieldM2, { within: 1, because: 'all of it as thick as patches can be' });
    expect(zone!.unknownAreaM2).toBe(zone!.areaM2);
    const field = fieldOf('east');
    const because = 'the middle is by share';
    closeTo(addUp(numbers, (one) => one.lossKg).central, field.yieldLossKg.central!, {
      within: 1e-6 * field.yieldLossKg.central!,
      because,
    });
    const offer = field.programs.find((one) => one.id === 'full')!;
    closeTo(addUp(numbers, (one) => one.gain).central, offer.gain.central!, {
      within: 1e-6 * Math.abs(offer.gain.central!),
      because,
    });
  });
});

test('where nobody looked there are no numbers, and no proposal', () => {
  open.apply(rateField(open.farm, 'east', 'waterhemp', 'not looked'));
  studied(open);
  expect(zoneNumbersQuestion(open, { field: 'east', season: SEASON, program: null, zones: [] })).toBeNull();
  expect(zoneProposalQuestion(open, { field: 'east', season: SEASON, level: null })).toBeNull();
});

test('a lower level proposes more ground, and says what it rests on', () => {
  const at = (level: number | null) => zoneProposalQuestion(open, { field: 'west', season: SEASON, level })!;
  const sum = (level: number) => at(level).zones.reduce((all, one) => all + one.areaM2, 0);
  expect(sum(0.2)).toBeGreaterThanOrEqual(sum(0.5));
  expect(sum(0.5)).toBeGreaterThanOrEqual(sum(0.9));
  expect(at(0.3).rules.level).toBe(0.3);
  expect(at(null).rules.level).toBe(0.5);
  expect(at(0.3).told.join(' ')).toMatch(/\d+ ft/);
});
