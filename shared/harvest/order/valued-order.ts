/**
 * An order with its cost, kept so that a change of it is valued without walking all of it again: of every place, the ways up to it
 * (cost and load) and the ways on from it (cost by load), each with its best clean-outs.
 */
import type { FlatProblem } from './flat-problem.ts';
import { Frontier } from './frontier.ts';

export class ValuedOrder {
  cost = 0;
  /** Steps walked so far: what a search may spend. */
  work = 0;
  private fields: readonly number[] = [];
  /** Ways that have come through so many fields; ways on from the field at a place, with what arrives there. */
  private readonly come: Frontier[] = [];
  private readonly goOn: Frontier[] = [];

  constructor(
    readonly flat: FlatProblem,
    order: readonly number[],
  ) {
    const start = new Frontier(flat.kinds);
    start.set(0, flat.start);
    this.come.push(start);
    for (let place = 0; place < order.length; place++) {
      this.come.push(new Frontier(flat.kinds));
      this.goOn.push(new Frontier(flat.kinds));
    }
    this.take(order);
  }

  get order(): readonly number[] {
    return this.fields;
  }

  /** Another order of the same fields. */
  take(order: readonly number[]): void {
    const before = this.fields;
    this.fields = order;
    let [first, last] = [0, order.length - 1];
    if (before.length === order.length) {
      while (first <= last && before[first] === order[first]) first++;
      while (last >= first && before[last] === order[last]) last--;
    }
    for (let place = first; place < order.length; place++)
      this.walk(this.come[place]!, order[place - 1] ?? -1, order[place]!, this.come[place + 1]!);
    // What a field costs hangs on the one after it: the last that changed has a new way on.
    for (let place = last; place >= 0; place--)
      this.walkBack(this.goOn[place + 1] ?? null, order[place + 1] ?? -1, order[place]!, this.goOn[place]!);
    this.cost = order.length === 0 ? 0 : this.joined(this.come[0]!, -1, 0);
  }

  /** Ways that have come through the first so many fields. */
  upTo(places: number): Frontier {
    return this.come[places]!;
  }

  /** Ways on from a place, with what arrives there; null behind the last. */
  onFrom(place: number): Frontier | null {
    return this.goOn[place] ?? null;
  }

  /** From a field, −1 from the start, through another. */
  walk(ways: Frontier, from: number, to: number, into: Frontier): void {
    const { kinds, options, falling, kept, own, travel, fields, worst } = this.flat;
    const { stays, cost } = options[to]!;
    const way = travel[(from + 1) * (fields + 1) + to + 1]!;
    into.size = 0;
    this.work++;
    for (let at = 0; at < ways.size; at++) {
      for (let option = 0; option < cost.length; option++) {
        let sum = ways.cost[at]! + way + cost[option]!;
        for (let kind = 0; kind < kinds; kind++) {
          const seeds = ways.vector[at * kinds + kind]! * stays[option]!;
          sum += seeds * falling[to * kinds + kind]!;
          into.next[kind] = seeds * kept[to]! + own[to * kinds + kind]!;
        }
        into.add(sum, worst);
      }
    }
  }

  /** Backward: from the ways on behind a field to those that begin with it. @param next −1: it is the last */
  walkBack(ways: Frontier | null, next: number, field: number, into: Frontier): void {
    const { kinds, options, falling, kept, own, travel, fields, mostAboard, home } = this.flat;
    const { stays, cost } = options[field]!;
    const way = next < 0 ? home[field]! : travel[(field + 1) * (fields + 1) + next + 1]!;
    into.size = 0;
    this.work++;
    for (let at = 0; at < (ways?.size ?? 1); at++) {
      for (let option = 0; option < cost.length; option++) {
        let sum = cost[option]! + way + (ways?.cost[at] ?? 0);
        for (let kind = 0; kind < kinds; kind++) {
          const each = ways ? ways.vector[at * kinds + kind]! : 0;
          sum += each * own[field * kinds + kind]!;
          into.next[kind] = stays[option]! * (falling[field * kinds + kind]! + kept[field]! * each);
        }
        into.add(sum, mostAboard);
      }
    }
  }

  /** The cheapest of ways that have come to a field, with the ways on from a place of the order. */
  joined(ways: Frontier, from: number, place: number): number {
    return this.joinedWith(ways, from, this.onFrom(place), this.fields[place] ?? -1);
  }

  /** @param next the field that the ways on begin with; −1: there is none */
  joinedWith(ways: Frontier, from: number, on: Frontier | null, next: number): number {
    const { kinds, travel, fields, home } = this.flat;
    if (!on || next < 0) return ways.least() + home[from]!;
    const way = travel[(from + 1) * (fields + 1) + next + 1]!;
    let least = Infinity;
    for (let at = 0; at < ways.size; at++) {
      for (let to = 0; to < on.size; to++) {
        let sum = ways.cost[at]! + on.cost[to]!;
        for (let kind = 0; kind < kinds; kind++) sum += ways.vector[at * kinds + kind]! * on.vector[to * kinds + kind]!;
        if (sum < least) least = sum;
      }
    }
    return least + way;
  }

  /** The least that going on from a place costs after a field, which leaves at least its own seed aboard. */
  leastOn(from: number, place: number): number {
    const { kinds, travel, fields, home, own, start } = this.flat;
    const on = this.onFrom(place);
    if (!on) return home[from]!;
    let least = Infinity;
    for (let at = 0; at < on.size; at++) {
      let sum = on.cost[at]!;
      for (let kind = 0; kind < kinds; kind++)
        sum += (from < 0 ? start[kind]! : own[from * kinds + kind]!) * on.vector[at * kinds + kind]!;
      if (sum < least) least = sum;
    }
    return least + travel[(from + 1) * (fields + 1) + this.fields[place]! + 1]!;
  }
}
