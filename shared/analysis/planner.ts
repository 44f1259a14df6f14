/**
 * What each step wants of the document, in each scope, remembered while the document is the same there. Edits share what they do not
 * change, so a plan holds as long as the members of the document that it read are the same objects; nothing is hashed again.
 */
import { borrowedAmong, resolveParameters } from '../agronomy/parameter.ts';
import type { Farm } from '../model/farm.ts';
import type { Case } from '../model/range.ts';
import { digestOf, digestOfJson } from './digest.ts';
import type { Id, Need, Scope, Step, StepId, Values } from './step.ts';

export interface PlannedStep {
  readonly step: StepId;
  readonly scope: Scope;
  readonly name: string;
}
export type PlannedNeed = PlannedStep | { readonly file: Id };

export interface PlannedNeeds {
  readonly word: string;
  readonly isList: boolean;
  readonly isLazy: boolean;
  readonly of: readonly PlannedNeed[];
}

export interface Plan {
  /** Step and scope in one word, the same in every document. */
  readonly name: string;
  readonly step: Step;
  readonly scope: Scope;
  readonly settings: unknown;
  readonly p: Values;
  readonly needs: readonly PlannedNeeds[];
  /** Parameters without a value of their own, among those that it rests on. */
  readonly borrowed: readonly string[];
  /** The key of the result, from what its needs are seen as, in their order. */
  keyWith(needs: readonly string[]): string;
}

interface Known {
  readonly plan: Plan;
  readonly read: ReadonlyMap<keyof Farm, unknown>;
}

/** Plans beyond this many are made anew: scopes that no longer exist go with them. */
const MOST_PLANS = 50_000;

export class Planner {
  private known = new Map<string, Known>();
  private readonly resolved = new Map<string, { own: Farm['ownValues']; values: Values; digest: string }>();

  constructor(private readonly steps: Readonly<Record<StepId, Step>>) {}

  /** @throws where the scope lacks a dimension of the step */
  plan(farm: Farm, id: StepId, scope: Scope): Plan {
    return this.named(farm, nameOf(this.steps[id], scope), id, scope);
  }

  /** The same for a need of another plan. */
  planned(farm: Farm, need: PlannedStep): Plan {
    return this.named(farm, need.name, need.step, need.scope);
  }

  private named(farm: Farm, name: string, id: StepId, given: Scope): Plan {
    const known = this.known.get(name);
    if (known && holds(known, farm)) return known.plan;
    if (this.known.size >= MOST_PLANS) this.known = new Map();
    const read = new Map<keyof Farm, unknown>();
    const plan = this.make(watched(farm, read), name, this.steps[id], narrow(this.steps[id], given));
    this.known.set(name, { plan, read });
    return plan;
  }

  private make(farm: Farm, name: string, step: Step, scope: Scope): Plan {
    const settings = step.settings(farm, scope);
    const ids = step.parameters?.(farm, scope) ?? [];
    const { values: p, digest: ofP } = this.resolve(ids, scope.case ?? 'central', farm.ownValues);
    const needs = Object.entries(step.needs(farm, scope)).map(([word, need]) => {
      const isList = Array.isArray(need);
      const isLazy = step.lazy?.includes(word) ?? false;
      const list = isList ? (need as readonly Need[]) : [need as Need];
      return { word, isList, isLazy, of: list.map((one) => this.plannedNeed(one)) };
    });
    const shape = needs.map(({ word, isList, of }) => [word, isList ? of.length : null]);
    const digest = digestOfJson({ id: step.id, version: step.version, scope, settings, p: ofP, needs: shape });
    let last: { needs: string; key: string } | null = null;
    return {
      name,
      step,
      scope,
      settings,
      p,
      needs,
      borrowed: borrowedAmong(ids).map((one) => one.id),
      keyWith(seenAs) {
        const text = seenAs.join(' ');
        if (last?.needs !== text) last = { needs: text, key: digestOf(new TextEncoder().encode(`${digest} ${text}`)) };
        return last.key;
      },
    };
  }

  private plannedNeed(need: Need): PlannedNeed {
    if ('file' in need) return need;
    return { ...need, name: nameOf(this.steps[need.step], need.scope) };
  }

  /** Fields with like crops share their parameters: each set is resolved and hashed once. */
  private resolve(ids: readonly string[], which: Case, own: Farm['ownValues']): { values: Values; digest: string } {
    const name = `${which} ${ids.join(' ')}`;
    const known = this.resolved.get(name);
    if (known?.own === own) return known;
    const values = ids.length === 0 ? {} : resolveParameters(ids, which, own);
    const made = { own, values, digest: digestOfJson(values) };
    this.resolved.set(name, made);
    return made;
  }
}

function holds({ read }: Known, farm: Farm): boolean {
  for (const [member, value] of read) if (farm[member] !== value) return false;
  return true;
}

/** The document, with a note of each of its members that is read. */
function watched(farm: Farm, read: Map<keyof Farm, unknown>): Farm {
  return new Proxy(farm, {
    get(target, member) {
      const value = target[member as keyof Farm];
      read.set(member as keyof Farm, value);
      return value;
    },
    has() {
      throw new Error('a step may read members of the document, not ask which there are');
    },
    ownKeys() {
      throw new Error('a step may read members of the document, not list them');
    },
  });
}

/** Only the dimensions that the step is computed per. */
function narrow(step: Step, scope: Scope): Scope {
  return Object.fromEntries(step.per.map((dimension) => [dimension, dimensionOf(step, scope, dimension)]));
}

function nameOf(step: Step, scope: Scope): string {
  return step.per.reduce(
    (name, dimension) => `${name} ${dimension}=${dimensionOf(step, scope, dimension)}`,
    step.id as string,
  );
}

function dimensionOf(step: Step, scope: Scope, dimension: keyof Scope): string | number {
  const value = scope[dimension];
  if (value === undefined) throw new Error(`step ${step.id} needs a ${dimension} in its scope`);
  return value;
}
