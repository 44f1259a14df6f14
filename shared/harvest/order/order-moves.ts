/** Better orders near one: stretches moved, turned, and fields changed for one another, within a stage; each with its best clean-outs. */
import type { FlatProblem } from './flat-problem.ts';
import { Frontier } from './frontier.ts';
import { tolerance } from './tolerance.ts';
import { ValuedOrder } from './valued-order.ts';

/** Stretches of so many fields are moved. */
const LONGEST_MOVED = 3;

/**
 * Takes every change that makes the order cheaper, until none is left.
 * @param mostWork of steps walked
 * @param places where changes begin; else everywhere
 */
export function improve(
  valued: ValuedOrder,
  mostWork: number,
  { from, to }: { readonly from: number; readonly to: number } = { from: 0, to: valued.order.length },
): void {
  const moves = new Moves(valued);
  for (;;) {
    const before = valued.cost;
    for (let place = from; place < to && valued.work < mostWork; place++) moves.from(place);
    if (valued.cost >= before - tolerance(before) || valued.work >= mostWork) return;
  }
}

class Moves {
  private readonly flat: FlatProblem;
  private grown: Frontier;
  private spare: Frontier;
  private readonly through: readonly [Frontier, Frontier];

  constructor(private readonly valued: ValuedOrder) {
    this.flat = valued.flat;
    const make = () => new Frontier(this.flat.kinds);
    [this.grown, this.spare, this.through] = [make(), make(), [make(), make()]];
  }

  /** All changes that begin at a place. */
  from(place: number): void {
    for (let long = 1; long <= LONGEST_MOVED; long++) {
      this.later(place, long);
      this.earlier(place, long);
    }
    this.turned(place);
    this.changed(place);
  }

  private get order(): readonly number[] {
    return this.valued.order;
  }

  /** The first place behind those of the same stage. */
  private stageEnd(place: number): number {
    const { stage } = this.flat;
    let end = place + 1;
    while (end < this.order.length && stage[this.order[end]!] === stage[this.order[place]!]) end++;
    return end;
  }

  private stageStart(place: number): number {
    const { stage } = this.flat;
    let start = place;
    while (start > 0 && stage[this.order[start - 1]!] === stage[this.order[place]!]) start--;
    return start;
  }

  /** The stretch from a place on is put behind each later field of its stage. */
  private later(place: number, long: number): void {
    const { order, valued } = this;
    const end = this.stageEnd(place);
    const stretch = order.slice(place, place + long);
    this.begin(place);
    for (let behind = place + long; behind < end; behind++) {
      this.grow(order[behind - 1 < place + long ? place - 1 : behind - 1] ?? -1, order[behind]!);
      if (
        this.grown.least() + this.leastThrough(order[behind]!, stretch) + valued.leastOn(stretch.at(-1)!, behind + 1) >=
        this.mark()
      )
        continue;
      const cost = valued.joined(this.walked(this.grown, order[behind]!, stretch), stretch.at(-1)!, behind + 1);
      if (cost >= this.mark()) continue;
      valued.take([
        ...order.slice(0, place),
        ...order.slice(place + long, behind + 1),
        ...stretch,
        ...order.slice(behind + 1),
      ]);
      return;
    }
  }

  /** The stretch that ends at a place is put before each earlier field of its stage. */
  private earlier(last: number, long: number): void {
    const { order, valued } = this;
    const place = last - long + 1;
    const start = this.stageStart(last);
    if (place <= start) return;
    const stretch = order.slice(place, last + 1);
    const end = stretch.at(-1)!;
    let on = valued.onFrom(last + 1);
    let next = order[last + 1] ?? -1;
    for (let before = place - 1; before >= start; before--) {
      const field = order[before]!;
      const into = on === this.grown ? this.spare : this.grown;
      valued.walkBack(on, next, field, into);
      [on, next] = [into, field];
      const from = order[before - 1] ?? -1;
      const ways = valued.upTo(before);
      if (ways.least() + this.leastThrough(from, stretch) + on.least() + this.way(end, field) >= this.mark()) continue;
      const cost = valued.joinedWith(this.walked(ways, from, stretch), end, on, field);
      if (cost >= this.mark()) continue;
      valued.take([...order.slice(0, before), ...stretch, ...order.slice(before, place), ...order.slice(last + 1)]);
      return;
    }
  }

  /** Stretches that begin at a place are turned. */
  private turned(place: number): void {
    const end = this.stageEnd(place);
    for (let last = place + 2; last < end; last++) {
      const { order } = this;
      const stretch = order.slice(place, last + 1).reverse();
      if (this.takeIfCheaper(place, stretch)) return;
    }
  }

  /** The field at a place and a later one change places. */
  private changed(place: number): void {
    const end = this.stageEnd(place);
    for (let last = place + 2; last < end; last++) {
      const { order } = this;
      const stretch = [order[last]!, ...order.slice(place + 1, last), order[place]!];
      if (this.takeIfCheaper(place, stretch)) return;
    }
  }

  private takeIfCheaper(place: number, stretch: readonly number[]): boolean {
    const { order, valued } = this;
    const [from, end, behind] = [order[place - 1] ?? -1, stretch.at(-1)!, place + stretch.length];
    const ways = valued.upTo(place);
    const least = ways.least() + valued.leastOn(end, behind) + this.leastThrough(from, stretch);
    if (least >= this.mark()) return false;
    if (valued.joined(this.walked(ways, from, stretch), end, behind) >= this.mark()) return false;
    valued.take([...order.slice(0, place), ...stretch, ...order.slice(behind)]);
    return true;
  }

  /** What a change has to stay below. */
  private mark(): number {
    return this.valued.cost - tolerance(this.valued.cost);
  }

  private way(from: number, to: number): number {
    return this.flat.travel[(from + 1) * (this.flat.fields + 1) + to + 1]!;
  }

  private leastThrough(from: number, stretch: readonly number[]): number {
    const { arcs, fields } = this.flat;
    let [sum, at] = [0, from];
    for (const to of stretch) {
      sum += arcs[(at + 1) * fields + to]!;
      at = to;
    }
    return sum;
  }

  private begin(place: number): void {
    const { grown } = this;
    const ways = this.valued.upTo(place);
    grown.size = 0;
    for (let at = 0; at < ways.size; at++) {
      grown.next.set(ways.vector.subarray(at * this.flat.kinds, (at + 1) * this.flat.kinds));
      grown.add(ways.cost[at]!, this.flat.worst);
    }
  }

  private grow(from: number, to: number): void {
    this.valued.walk(this.grown, from, to, this.spare);
    [this.grown, this.spare] = [this.spare, this.grown];
  }

  private walked(ways: Frontier, from: number, stretch: readonly number[]): Frontier {
    let [at, now] = [from, ways];
    stretch.forEach((to, step) => {
      this.valued.walk(now, at, to, this.through[step % 2]!);
      [at, now] = [to, this.through[step % 2]!];
    });
    return now;
  }
}
