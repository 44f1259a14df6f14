/** A good order by local search: for many fields, and as the mark that the exact program has to beat. */
import { type RandomStream, stream } from '../../statistics/random.ts';
import { bestStops } from './best-stops.ts';
import { type FlatProblem, flatProblem } from './flat-problem.ts';
import { Frontier } from './frontier.ts';
import { improve } from './order-moves.ts';
import { type OrderProblem, stageOf, type Stop } from './order-problem.ts';
import { tolerance } from './tolerance.ts';
import { ValuedOrder } from './valued-order.ts';

export interface FoundOrder {
  readonly order: number[];
  readonly stops: Stop[];
  readonly cost: number;
}

/** Steps from field to field that may be walked: about a fifth of a second. */
export const SEARCH_WORK = 160_000;
/** Stretches that change places when what was found is shaken are no longer. */
const LONGEST_SHAKEN = 6;
/** Every so many times so many fields of a stage are thrown about instead. */
const THROW_EVERY = 4;
const THROWN = 3;
/** By so much more the search goes on from what it found: the best of several that were tried. */
const DEARER_FRACTION = 0.01;

/** Cleanest first, worst last: by stage, then by what a field's own weeds leave aboard. */
export function cleanestFirst(problem: OrderProblem): number[] {
  const own = problem.fields.map((one) => one.ownSeeds.reduce((a, b) => a + b, 0));
  return [...problem.fields.keys()].sort(
    (a, b) => stageOf(problem, a) - stageOf(problem, b) || own[a]! - own[b]! || a - b,
  );
}

/**
 * Starts from cleanest first, and from each field put where it costs least; stretches are moved and turned and fields changed for one
 * another until nothing gains, and what was found is shaken and improved again until the work is done. Every order is valued with its best stops.
 * @param mostWork steps from field to field; the same work gives the same order
 * @source methods-season §9
 */
export function searchOrder(problem: OrderProblem, mostWork = SEARCH_WORK): FoundOrder {
  const flat = flatProblem(problem);
  const clean = cleanestFirst(problem);
  if (clean.length === 0) return { order: [], stops: [], cost: 0 };
  const found = [clean, insertedCheapest(flat, clean)].map((order) => new ValuedOrder(flat, order));
  for (const one of found) improve(one, mostWork);
  const best = found.reduce((a, b) => (b.cost < a.cost - tolerance(a.cost) ? b : a));
  const order = shakenOften(best, mostWork - found.reduce((sum, one) => sum + one.work, 0));
  return { order: [...order], ...bestStops(problem, order) };
}

function insertedCheapest(flat: FlatProblem, clean: readonly number[]): readonly number[] {
  const ways = new Frontier(flat.kinds);
  return clean.reduce<readonly number[]>((order, at) => {
    const valued = new ValuedOrder(flat, order);
    let [best, least] = [order.length, Infinity];
    for (let place = 0; place <= order.length; place++) {
      if (!mayStand(flat, order, at, place)) continue;
      valued.walk(valued.upTo(place), order[place - 1] ?? -1, at, ways);
      const cost = valued.joined(ways, at, place);
      if (cost < least) [best, least] = [place, cost];
    }
    return [...order.slice(0, best), at, ...order.slice(best)];
  }, []);
}

function mayStand({ stage }: FlatProblem, order: readonly number[], at: number, place: number): boolean {
  const [before, after] = [order[place - 1], order[place]];
  return (before === undefined || stage[before]! <= stage[at]!) && (after === undefined || stage[at]! <= stage[after]!);
}

/** Shaken and improved again until the work is done; from what costs a little more the search goes on, too. */
function shakenOften(valued: ValuedOrder, mostWork: number): readonly number[] {
  const draws = stream(0, 'order of harvest');
  let best = { order: valued.order, cost: valued.cost };
  let at = best;
  valued.work = 0;
  for (let shake = 0; shake < mostWork && valued.work < mostWork && at.order.length > 3; shake++) {
    const shaken =
      shake % THROW_EVERY > 0
        ? stretchesChanged(valued.flat, at.order, draws)
        : thrownAbout(valued.flat, at.order, draws);
    valued.take(shaken);
    improve(valued, mostWork, aroundChanges(at.order, shaken));
    if (valued.cost < best.cost * (1 + DEARER_FRACTION)) at = { order: valued.order, cost: valued.cost };
    if (valued.cost < best.cost - tolerance(best.cost)) {
      improve(valued, mostWork);
      best = at = { order: valued.order, cost: valued.cost };
    }
  }
  return best.order;
}

/** The places that are others now, and those beside them. */
function aroundChanges(order: readonly number[], now: readonly number[]): { from: number; to: number } {
  const changed = [...now.keys()].filter((place) => now[place] !== order[place]);
  const [first = 0, last = -2] = [changed[0], changed.at(-1)];
  return { from: Math.max(0, first - 1), to: Math.min(now.length, last + 2) };
}

/** Two neighboring stretches of a stage change places: a move that others do not make. */
function stretchesChanged(flat: FlatProblem, order: readonly number[], draws: RandomStream): readonly number[] {
  const a = draws.integer(order.length - 1);
  const { end } = stageAround(flat, order, a);
  const b = Math.min(end, a + 1 + draws.integer(LONGEST_SHAKEN));
  const c = Math.min(end, b + 1 + draws.integer(LONGEST_SHAKEN));
  return [...order.slice(0, a), ...order.slice(b, c), ...order.slice(a, b), ...order.slice(c)];
}

/** A few fields of a stage go anywhere in it. */
function thrownAbout(flat: FlatProblem, order: readonly number[], draws: RandomStream): readonly number[] {
  const { start, end } = stageAround(flat, order, draws.integer(order.length));
  const now = [...order];
  for (let k = 0; k < THROWN; k++) {
    const [field] = now.splice(start + draws.integer(end - start), 1);
    now.splice(start + draws.integer(end - start), 0, field!);
  }
  return now;
}

function stageAround({ stage }: FlatProblem, order: readonly number[], place: number): { start: number; end: number } {
  const mine = stage[order[place]!];
  const start = order.findIndex((at) => stage[at] === mine);
  const end = order.findIndex((at, other) => other > place && stage[at] !== mine);
  return { start, end: end < 0 ? order.length : end };
}
