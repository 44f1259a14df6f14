/** What a clean-out before a field is worth: seed that it keeps out of this field and those after it, money, and the minutes it may take. */
import { type OrderProblem, type Stop, type Walked, walkOrder } from '../harvest/order/order-problem.ts';
import type { Farm } from '../model/farm.ts';
import { type Case, CASES, type Range, UNKNOWN_RANGE } from '../model/range.ts';
import type { FigureBook } from './formula.ts';
import { FORMULAS } from './formulas.ts';
import type { HarvestedField } from './harvested-field.ts';
import { CLEAN_OUTS, type CleanOutKind, costOfCleanOut, moneyOfSeed } from './harvest-problem.ts';

export type StopVerdict = 'pays' | 'may pay' | 'does not pay';

export interface StopWorth {
  readonly kind: CleanOutKind;
  /** Where each number stands in the working: `${path}/seeds`. */
  readonly path: string;
  readonly seeds: Range;
  /** Unknown where the order goes by class. */
  readonly money: Range;
  /** Unknown until an hour's cost is typed. */
  readonly breakEvenMin: Range;
  /** Typed; null until then. */
  readonly minutes: number | null;
  readonly verdict: StopVerdict | null;
}

export interface StopAt {
  readonly problems: Readonly<Record<Case, OrderProblem>>;
  readonly order: readonly number[];
  readonly stops: readonly Stop[];
  /** Which field of the order it comes before. */
  readonly step: number;
  readonly fields: readonly HarvestedField[];
  readonly byMoney: boolean;
  readonly farm: Farm;
  readonly figures: FigureBook;
  readonly path: string;
}

/** Both kinds, beside no clean-out there; the other stops stay as they are. Empty where nothing is aboard in any case. */
export function stopWorths(at: StopAt): StopWorth[] {
  const without = walkedWith(at, null);
  if (CASES.every((which) => total(without[which].legs[at.step]!.arrivingSeeds) < 1)) return [];
  return CLEAN_OUTS.map((kind, stop) => stopWorth(at, kind, without, walkedWith(at, stop)));
}

type ByCase<T> = Readonly<Record<Case, T>>;

function stopWorth(at: StopAt, kind: CleanOutKind, without: ByCase<Walked>, after: ByCase<Walked>): StopWorth {
  const { farm, figures, byMoney } = at;
  const path = `${at.path}/${kind}`;
  const words = (what: string, which: Case) => ({ words: `${what}, ${which} case` });
  const behind = [
    'machine.lodged.share',
    'machine.lodged.timeConstantS',
    `machine.cleanOut.${kind}`,
    ...(byMoney ? ['seedbank.enteringFraction'] : []),
  ];
  const seeds = figures.range(
    `${path}/seeds`,
    FORMULAS.stopSeeds,
    (which) => ({
      N_without: { value: fallen(without[which], at, which), from: words('the list without this clean-out', which) },
      N_with: { value: fallen(after[which], at, which), from: words('the list with it', which) },
    }),
    { behind, notes: [NOT_MEASURED] },
  );
  const money = byMoney
    ? figures.range(
        `${path}/money`,
        FORMULAS.stopMoney,
        (which) => ({
          M_without: {
            value: moneyOfSeed(without[which], at.fields, which, at.step),
            from: words('the list without this clean-out', which),
          },
          M_with: {
            value: moneyOfSeed(after[which], at.fields, which, at.step),
            from: words('the list with it', which),
          },
        }),
        { behind, notes: [NOT_MEASURED] },
      )
    : UNKNOWN_RANGE;
  const perHour = farm.planning.harvest?.costPerHour ?? null;
  const ends = { mild: money.low, central: money.central, harsh: money.high };
  const breakEvenMin =
    perHour === null || money.central === null
      ? UNKNOWN_RANGE
      : figures.range(`${path}/breakEvenMin`, FORMULAS.breakEven, (which) => ({
          M: { value: ends[which], from: { path: `${path}/money` } },
          k: { value: perHour, from: { words: 'typed' } },
        }));
  const minutes = (kind === 'limited' ? farm.planning.harvest?.limitedMin : farm.planning.harvest?.thoroughMin) ?? null;
  return { kind, path, seeds, money, breakEvenMin, minutes, verdict: verdictOf(money, costOfCleanOut(farm, kind)) };
}

export const NOT_MEASURED =
  'No study measured how much seed lodges in a combine, how long it stays, or what share a clean-out takes: read it as more or less.';
function verdictOf(money: Range, cost: number | null): StopVerdict | null {
  if (money.central === null || cost === null) return null;
  return money.low > cost ? 'pays' : money.high < cost ? 'does not pay' : 'may pay';
}

function walkedWith({ problems, order, stops, step }: StopAt, stop: Stop): Record<Case, Walked> {
  const tried = stops.map((one, at) => (at === step ? stop : one));
  return Object.fromEntries(CASES.map((which) => [which, walkOrder(problems[which], order, tried)])) as Record<
    Case,
    Walked
  >;
}

/** On this field and those after it. */
function fallen({ legs }: Walked, { step, fields }: StopAt, which: Case): number {
  return legs.slice(step).reduce((sum, { field, arrivingSeeds, removedSeeds }) => {
    const stays = total(arrivingSeeds) - total(removedSeeds);
    return sum + stays * fields[field]!.by[which].landedFraction;
  }, 0);
}

const total = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0);
