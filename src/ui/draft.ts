/** What a form holds while it is typed, and what reading it gives: a value, or what is wrong by entry. */
import type { Typed } from '../../shared/units/typed-number.ts';

export type Wrong<Draft> = Partial<Record<keyof Draft, string>>;
export type Read<T, Draft> = { readonly value: T } | { readonly wrong: Wrong<Draft> };

/** Collects what is wrong, entry by entry, while values are read. */
export class Reading<Draft> {
  readonly wrong: Wrong<Draft> = {};

  /** The value, or undefined once what is wrong with it was noted. */
  take<T>(entry: keyof Draft, typed: Typed<T>): T | undefined {
    if ('value' in typed) return typed.value;
    this.wrong[entry] = typed.wrong;
    return undefined;
  }
  note(entry: keyof Draft, text: string): void {
    this.wrong[entry] ??= text;
  }
  get isRight(): boolean {
    return Object.keys(this.wrong).length === 0;
  }
}
