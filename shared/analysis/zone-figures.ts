/** The numbers of one zone, each made through its formula and kept as a figure under its path. */
import { type Case, type Range } from '../model/range.ts';
import type { FigureBook } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldBank } from './steps/seedbank.ts';
import type { CaseSums, ZoneBasis } from './zone-sums.ts';

export interface ZoneNumbers {
  readonly id: string;
  /** Where each number stands in the working: `${path}/lossMoney`. */
  readonly path: string;
  readonly areaM2: number;
  /** Ground in it on which no weed was looked for. */
  readonly unknownAreaM2: number;
  readonly plants: readonly { readonly species: string; readonly range: Range }[];
  readonly seeds: Range;
  readonly bank: Range;
  readonly bankPerM2: Range;
  readonly lossKg: Range;
  readonly lossMoney: Range;
  /** Over the planning horizon, less what the program costs beyond current practice. */
  readonly gain: Range;
  readonly gainPerHa: Range;
  readonly costPerYear: number | null;
  /** Among the zones, by gain for the same ground; null for the ground outside. */
  readonly rank: number | null;
}

export const OUTSIDE = 'outside';

export interface ZoneSubject {
  readonly id: string;
  readonly path: string;
  readonly areaM2: number;
  readonly side: 'inZone' | 'outside';
  readonly unknownAreaM2: number;
  readonly by: Readonly<Record<Case, CaseSums>>;
}

export function zoneFigures(basis: ZoneBasis, figures: FigureBook, subject: ZoneSubject): ZoneNumbers {
  const { id, path, by, side, unknownAreaM2 } = subject;
  const { ground, infestations, loss, asNow, program } = basis;
  const place = id === OUTSIDE ? 'the ground outside of the zones' : 'the zone';
  const scale = ground.areaM2 / wholeCellsM2(ground);
  const cells = (which: Case) => (basis.start[which]?.classOfCell ? by[which].cellsM2 * scale : by[which].cellsM2);
  const factor = (which: Case) => (by[which].cellsM2 === 0 ? 0 : cells(which) / by[which].cellsM2);
  const words = (text: string, which: Case) => ({ words: `${text} of ${place}, ${which} case` });
  const bySpecies = (values: (which: Case) => readonly number[] | null, what: string) => (which: Case) => {
    const list = values(which);
    return Object.fromEntries(
      infestations.map(({ species }, index) => [
        `N_${species}`,
        { value: list?.[index] ?? null, from: words(`${species}: ${what}`, which) },
      ]),
    );
  };

  const areaM2 = figures.exact(`${path}/areaM2`, FORMULAS.zoneGround, {
    A: { value: subject.areaM2, from: { words: id === OUTSIDE ? 'the field less its zones' : 'the outline as drawn' } },
  })!;
  const plants = infestations.map(({ species, map }, index) => ({
    species,
    range: figures.range(
      `${path}/plants/${species}`,
      FORMULAS.zonePlants,
      (which) => ({ N: { value: by[which].plants[index]!, from: words('sum', which) } }),
      { notes: [map.method, ...map.notes] },
    ),
  }));
  const seeds = figures.range(
    `${path}/seeds`,
    FORMULAS.zoneSeeds,
    bySpecies((which) => by[which].seeds, 'sum'),
  );
  const bank = figures.range(
    `${path}/bank`,
    FORMULAS.zoneBank,
    bySpecies((which) => by[which].bank, 'sum'),
  );
  const bankPerM2 = figures.range(`${path}/bankPerM2`, FORMULAS.zoneBankPerM2, (which) => ({
    N: { value: total(by[which].bank), from: { path: `${path}/bank` } },
    A: { value: by[which].cellsM2 === 0 ? null : by[which].cellsM2, from: words('cells', which) },
  }));
  const lossKg = figures.range(`${path}/lossKg`, FORMULAS.zoneLossKg, (which) => ({
    L: { value: by[which].lossFraction, from: words('mean', which) },
    Y: {
      value: loss[which]?.expectedYieldKgHa ?? null,
      from: { words: loss[which]?.expectedYieldFrom ?? 'no crop' },
    },
    A: { value: cells(which), from: words('cells', which) },
  }));
  const lossMoney = figures.range(`${path}/lossMoney`, FORMULAS.yieldLossMoney, (which) => {
    const { lossFraction } = by[which];
    const yieldKgHa = loss[which]?.expectedYieldKgHa ?? null;
    const kg = lossFraction === null || yieldKgHa === null ? null : (lossFraction * yieldKgHa * cells(which)) / 10_000;
    return {
      m: { value: kg, from: { path: `${path}/lossKg` } },
      price: { value: loss[which]?.priceKg ?? null, from: { words: 'prices of the season' } },
    };
  });
  const cost = (bank: FieldBank | null) => {
    const perM2 = bank?.costPresentValuePerM2?.[side] ?? null;
    return perM2 === null ? null : perM2 * areaM2;
  };
  const name = program?.name ?? 'no program';
  const worth = (value: number | null, which: Case) => (value === null ? null : value * factor(which));
  const gain = figures.range(`${path}/gain`, FORMULAS.gain, (which) => ({
    S_now: { value: worth(by[which].lossNow, which), from: words('yield lost as now', which) },
    S_program: { value: worth(by[which].lossThen, which), from: words(`yield lost under ${name}`, which) },
    K_program: { value: cost(program?.by[which] ?? null), from: { words: `cost of ${name} there over the horizon` } },
    K_now: { value: cost(asNow[which]), from: { words: 'cost of current practice there over the horizon' } },
  }));
  const ends = { mild: gain.low, central: gain.central, harsh: gain.high };
  const gainPerHa = figures.range(`${path}/gainPerHa`, FORMULAS.zonePerHectare, (which) => ({
    x: { value: ends[which], from: { path: `${path}/gain` } },
    A: { value: areaM2 > 0 ? areaM2 : null, from: { path: `${path}/areaM2` } },
  }));
  const perM2 = program?.by.central?.costPerM2?.[side] ?? null;
  const costPerYear = figures.exact(`${path}/costPerYear`, FORMULAS.zoneCost, {
    k: { value: perM2 === null ? null : perM2 * 10_000, from: { words: `passes of ${name}` } },
    A: { value: areaM2, from: { path: `${path}/areaM2` } },
  });
  return {
    id,
    path,
    areaM2,
    unknownAreaM2,
    plants,
    seeds,
    bank,
    bankPerM2,
    lossKg,
    lossMoney,
    gain,
    gainPerHa,
    costPerYear,
    rank: null,
  };
}

function total(list: readonly number[] | null): number | null {
  return list && list.reduce((a, b) => a + b, 0);
}

function wholeCellsM2({ inside, grid }: FieldGround): number {
  return inside.reduce((sum, one) => sum + one, 0) * grid.cellM ** 2;
}
