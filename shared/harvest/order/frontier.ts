/**
 * Costs that hang on what is aboard, as a list of (cost, vector): of ways so far, the cost and the load; of ways to go on, the cost with
 * nothing aboard and what each seed aboard adds. Those that cannot be the cheapest are left out. Flat, since a search makes millions.
 */
export class Frontier {
  size = 0;
  cost = new Float64Array(8);
  vector: Float64Array;
  /** The one that is to be added. */
  readonly next: Float64Array;

  constructor(readonly kinds: number) {
    this.vector = new Float64Array(8 * kinds);
    this.next = new Float64Array(kinds);
  }

  /** Of the cheapest with nothing added. */
  least(): number {
    let least = Infinity;
    for (let at = 0; at < this.size; at++) if (this.cost[at]! < least) least = this.cost[at]!;
    return least;
  }

  /** Takes in a cost with the vector in `next`. @param per the most that one more of each can cost: who is dearer than that is dropped */
  add(cost: number, per: Float64Array): void {
    for (let at = 0; at < this.size; at++)
      if (this.cost[at]! <= cost && this.cost[at]! + this.over(at, per, false) <= cost) return;
    let kept = 0;
    for (let at = 0; at < this.size; at++) {
      if (cost <= this.cost[at]! && cost + this.over(at, per, true) <= this.cost[at]!) continue;
      if (kept < at) this.move(at, kept);
      kept++;
    }
    this.size = kept;
    this.push(cost);
  }

  set(cost: number, vector: Float64Array): void {
    this.size = 0;
    this.next.set(vector);
    this.push(cost);
  }

  /** What one has more of than `next` (or `next` than it), each at its most. */
  private over(at: number, per: Float64Array, isNext: boolean): number {
    let sum = 0;
    for (let kind = 0; kind < this.kinds; kind++) {
      const more = this.vector[at * this.kinds + kind]! - this.next[kind]!;
      if (isNext ? more < 0 : more > 0) sum += Math.abs(more) * per[kind]!;
    }
    return sum;
  }

  private move(from: number, to: number): void {
    this.cost[to] = this.cost[from]!;
    for (let kind = 0; kind < this.kinds; kind++)
      this.vector[to * this.kinds + kind] = this.vector[from * this.kinds + kind]!;
  }

  private push(cost: number): void {
    if (this.size === this.cost.length) {
      const [costs, vectors] = [new Float64Array(2 * this.size), new Float64Array(2 * this.size * this.kinds)];
      costs.set(this.cost);
      vectors.set(this.vector);
      [this.cost, this.vector] = [costs, vectors];
    }
    this.cost[this.size] = cost;
    this.vector.set(this.next, this.size * this.kinds);
    this.size++;
  }
}
