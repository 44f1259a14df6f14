/**
 * The least that each step from field to field can cost when what rides out of a field beside its own seed is charged for there and paid
 * back at the next: the load then need not be known. Node 0 is where the machine stands, node k + 1 field k, the last node the end.
 */
import type { FlatProblem } from './flat-problem.ts';

/** Above any sum of real costs, and small enough that those keep their figures. */
export const NEVER = 1e12;

/** Of a step: its cost, the clean-out before it (its place among the field's options), and the load of each kind that makes it so. */
export interface Step {
  cost: number;
  option: number;
  readonly load: Float64Array;
}

export class PricedSteps {
  readonly nodes: number;
  /** 1 where a node may follow another: a field of the same stage or the next one, the end after the last stage. */
  readonly mayFollow: Uint8Array;

  constructor(readonly flat: FlatProblem) {
    this.nodes = flat.fields + 2;
    this.mayFollow = followers(flat);
  }

  /** @param perSeed charged for a seed that came in and rides out, one a field and kind; not below none */
  step(from: number, to: number, perSeed: Float64Array, into: Step): void {
    const { flat, nodes } = this;
    const { kinds } = flat;
    const [left, entered] = [(from - 1) * kinds, (to - 1) * kinds];
    if (to === nodes - 1) {
      [into.cost, into.option] = [flat.home[from - 1]!, -1];
      for (let kind = 0; kind < kinds; kind++) {
        const least = flat.own[left + kind]!;
        into.load[kind] = perSeed[left + kind]! > 0 ? flat.most[left + kind]! : least;
        into.cost -= perSeed[left + kind]! * (into.load[kind]! - least);
      }
      return;
    }
    const { stays, cost } = flat.options[to - 1]!;
    into.cost = Infinity;
    for (let option = 0; option < cost.length; option++) {
      let sum = cost[option]!;
      for (let kind = 0; kind < kinds; kind++) {
        const each = stays[option]! * (flat.falling[entered + kind]! + flat.kept[to - 1]! * perSeed[entered + kind]!);
        if (from === 0) sum += each * flat.start[kind]!;
        else {
          const least = flat.own[left + kind]!;
          const over = each - perSeed[left + kind]!;
          sum += each * least + (over < 0 ? over * (flat.most[left + kind]! - least) : 0);
        }
      }
      if (sum < into.cost) [into.cost, into.option] = [sum, option];
    }
    into.cost += flat.travel[from * (flat.fields + 1) + to]!;
  }

  /** The loads of a step that `step` told. */
  loadsOf(from: number, to: number, perSeed: Float64Array, step: Step): void {
    const { flat } = this;
    if (to === this.nodes - 1) return;
    for (let kind = 0; kind < flat.kinds; kind++) {
      const [left, entered] = [(from - 1) * flat.kinds + kind, (to - 1) * flat.kinds + kind];
      const stays = flat.options[to - 1]!.stays[step.option]!;
      const each = stays * (flat.falling[entered]! + flat.kept[to - 1]! * perSeed[entered]!);
      step.load[kind] = from === 0 ? flat.start[kind]! : each < perSeed[left]! ? flat.most[left]! : flat.own[left]!;
    }
  }

  /** All of them, at `from * nodes + to`. */
  fill(perSeed: Float64Array, leaving: Float64Array, into: Float64Array): void {
    const step: Step = { cost: 0, option: 0, load: new Float64Array(this.flat.kinds) };
    for (let from = 0; from < this.nodes; from++)
      for (let to = 0; to < this.nodes; to++) {
        const at = from * this.nodes + to;
        if (this.mayFollow[at] === 0) into[at] = NEVER;
        else {
          this.step(from, to, perSeed, step);
          into[at] = step.cost - leaving[from]!;
        }
      }
  }
}

function followers({ fields, stage }: FlatProblem): Uint8Array {
  const nodes = fields + 2;
  const stages = [...new Set(stage)].sort((a, b) => a - b);
  const place = (node: number) => (node === 0 ? -1 : node > fields ? stages.length : stages.indexOf(stage[node - 1]!));
  return Uint8Array.from({ length: nodes * nodes }, (_, at) => {
    const [from, to] = [Math.floor(at / nodes), at % nodes];
    if (from === to || to === 0 || from > fields) return 0;
    const on = place(to) - place(from);
    const stays = on === 0 && from > 0 && to <= fields;
    return stays || on === 1 ? 1 : 0;
  });
}
