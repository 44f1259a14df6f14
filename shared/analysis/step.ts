/**
 * What a step of the analysis is. Steps are generators: the host drives them, gives its event loop a turn, and cancels by
 * `return()`. A step sees only its settings, its needs and its parameter values, so that its key can be told before it runs.
 */
import type { Farm } from '../model/farm.ts';
import type { Outcome } from '../model/problem.ts';
import type { Case } from '../model/range.ts';
import type { ByteSource } from '../model/records.ts';

export type Id = string;

export const STEP_IDS = [
  'records',
  'field',
  'scouting',
  'evidence',
  'travel-direction',
  'latent-chain',
  'infestation',
  'infestation-facts',
  'harvest-path',
  'harvest-facts',
  'season',
  'own-loss',
  'yield-loss',
  'seed-return',
  'movement-even',
  'movement-own',
  'movement-chain',
  'carried',
  'landed',
  'machine-load',
  'next-stops',
  'round-infestation',
  'zones',
  'bank-start',
  'program-effect',
  'seedbank',
  'seed-worth',
  'priority',
] as const;
export type StepId = (typeof STEP_IDS)[number];

export type Scope = Readonly<{
  file?: Id;
  field?: Id;
  season?: number;
  machine?: Id;
  round?: Id;
  species?: Id;
  program?: Id;
  /** Of the latent count model. */
  chain?: 0 | 1;
  case?: Case;
}>;

/** One result of the open farm; null where it is refused. */
export type ResultOf = <T>(step: StepId, scope: Scope) => T | null;

export type Need = { readonly step: StepId; readonly scope: Scope } | { readonly file: Id };
export type Needs = Readonly<Record<string, Need | readonly Need[]>>;

/** [done, total] in whatever the step counts. */
export type Progress = readonly [done: number, total: number];

/** Parameter values resolved for the scope's case. */
export type Values = Readonly<Record<string, number>>;

/** Computes a lazy need, or finds it; null where it is refused. */
export type Ask<T> = () => Generator<Progress, T | null, void>;

export interface StepInput<Settings> {
  readonly settings: Settings;
  /** One result a named need; an array where the need is a list. A refused need arrives as null where `optional` names it. */
  readonly needs: Readonly<Record<string, unknown>>;
  readonly p: Values;
  readonly scope: Scope;
}

export interface Step<Settings = unknown, Gives = unknown> {
  readonly id: StepId;
  readonly title: string;
  /** Raised when the same input gives other numbers. */
  readonly version: number;
  /** The scope's dimensions, in order; [] is once a farm. */
  readonly per: readonly (keyof Scope)[];
  /** Plain JSON: all that `run` sees of the document. */
  settings(farm: Farm, scope: Scope): Settings;
  /** Parameter ids, resolved for scope.case by the runner. */
  parameters?(farm: Farm, scope: Scope): readonly string[];
  needs(farm: Farm, scope: Scope): Needs;
  /** Names of needs that may be refused: they then arrive as null. */
  readonly optional?: readonly string[];
  /**
   * Names of single needs that arrive as an `Ask`: computed only if the step asks, on what it found in its other needs. Problems of
   * theirs are not told, so they should have none.
   */
  readonly lazy?: readonly string[];
  /** 'content': dependents see the hash of the result, so that an equal result stops a change here. */
  readonly key: 'inputs' | 'content';
  run(input: StepInput<Settings>): Generator<Progress, Outcome<Gives>, void>;
}

/** What a host lends to a study: bytes of attachments, and a place for results. Everything synchronous: a worker can. */
export interface FileDoor {
  /** The attachment of a file of the document; null where it is missing. */
  open(sha256: string, name: string): ByteSource | null;
}
export interface ResultStore {
  has(key: string): boolean;
  read(key: string): Uint8Array | null;
  write(key: string, bytes: Uint8Array): void;
}
