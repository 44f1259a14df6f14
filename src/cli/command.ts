import type { Host } from './host.ts';
import type { OptionSpec, Parsed } from './arguments.ts';

/** 0 done · 1 done but something was refused · 2 could not. */
export type ExitCode = 0 | 1 | 2;

export interface Command {
  readonly name: string;
  /** Words after the name: "FARM FILE…". */
  readonly words: string;
  readonly summary: string;
  /** More for the command's own help: one paragraph. */
  readonly more: string;
  /** Command lines as a person would type them. */
  readonly examples?: readonly string[];
  readonly options: readonly OptionSpec[];
  /** How many words at least and at most. */
  readonly takes: readonly [least: number, most: number];
  run(input: Parsed & { readonly host: Host; readonly json: boolean }): ExitCode;
}
