/**
 * Results that a host remembers across edits of one farm, decoded, by key. What was used longest ago gives way when they outgrow
 * their limit; a store, where there is one, keeps the bytes. Nothing is decoded or encoded twice.
 */
import type { Outcome, Problem } from '../model/problem.ts';
import { digestOf } from './digest.ts';
import { decode, encode } from './encode.ts';
import type { RunnerProgress } from './runner.ts';
import { SharedWork } from './shared-work.ts';
import type { ResultStore } from './step.ts';

interface Kept {
  /** What dependents put into their own keys. */
  readonly seenAs: string;
  readonly problems: readonly Problem[];
  /** null where it gave way; the store may still have it. */
  outcome: Outcome<unknown> | null;
  readonly bytes: number;
  isStored: boolean;
}

/** Enough for a farm of a dozen fields with all their logs. */
const LIMIT_BYTES = 384 * 2 ** 20;
/** Of a result that gave way, its name and problems stay; of so many, the oldest go altogether. */
const MOST_NAMES = 50_000;

export class Memory {
  /** Results that are being worked out. */
  readonly underWay = new SharedWork<RunnerProgress, Outcome<unknown>>();
  private readonly kept = new Map<string, Kept>();
  private held = 0;

  constructor(
    private readonly store: ResultStore,
    private readonly limitBytes = LIMIT_BYTES,
  ) {}

  /** Bytes of the results that are held decoded. */
  get heldBytes(): number {
    return this.held;
  }

  /** Whether the result can be had without computing it; it then counts as used. */
  has(key: string): boolean {
    const kept = this.touched(key);
    return kept?.outcome ? true : this.store.has(key);
  }

  /** What dependents put into their keys; null where the result is not known. */
  seenAs(key: string): string | null {
    return this.kept.get(key)?.seenAs ?? this.read(key)?.seenAs ?? null;
  }

  /** Known even where the result itself gave way; null where it is not known. */
  problemsOf(key: string): readonly Problem[] | null {
    return this.kept.get(key)?.problems ?? this.read(key)?.problems ?? null;
  }

  outcome(key: string): Outcome<unknown> | null {
    return this.touched(key)?.outcome ?? this.read(key)?.outcome ?? null;
  }

  /** @param byContent dependents see the hash of the result, not its key */
  keep(key: string, outcome: Outcome<unknown>, byContent: boolean): void {
    const body = byContent ? encode(outcome) : null;
    const seenAs = body ? digestOf(body) : key;
    if (body) this.store.write(key, pack(seenAs, body));
    const bytes = body?.length ?? bytesOf(outcome);
    this.add(key, { seenAs, problems: outcome.problems, outcome, bytes, isStored: body !== null });
  }

  /** Writes those of the results that the store does not have yet: for a quiet moment. */
  *save(keys: Iterable<string>): Generator<readonly [done: number, total: number], void, void> {
    const left = [...keys].flatMap((key) => {
      const one = this.kept.get(key);
      return one && one.outcome !== null && !one.isStored ? [[key, one] as const] : [];
    });
    for (let done = 0; done < left.length; done++) {
      yield [done, left.length];
      this.write(...left[done]!);
    }
  }

  private touched(key: string): Kept | null {
    const kept = this.kept.get(key);
    if (!kept) return null;
    this.kept.delete(key);
    this.kept.set(key, kept);
    return kept;
  }

  private read(key: string): Kept | null {
    const bytes = this.store.read(key);
    if (!bytes) return null;
    const { seenAs, outcome } = unpack(bytes);
    const kept = { seenAs, problems: outcome.problems, outcome, bytes: bytes.length, isStored: true };
    this.add(key, kept);
    return kept;
  }

  private add(key: string, kept: Kept): void {
    if (this.kept.get(key)?.outcome) this.held -= this.kept.get(key)!.bytes;
    this.kept.delete(key);
    this.kept.set(key, kept);
    this.held += kept.bytes;
    if (this.held > this.limitBytes) this.giveWay(key);
  }

  /** The result that was asked for last stays, however large. */
  private giveWay(asked: string): void {
    for (const [key, one] of this.kept) {
      if (this.held <= this.limitBytes) break;
      if (one.outcome === null || key === asked) continue;
      this.write(key, one);
      one.outcome = null;
      this.held -= one.bytes;
    }
    for (const [key, one] of this.kept) {
      if (this.kept.size <= MOST_NAMES) break;
      if (one.outcome === null) this.kept.delete(key);
    }
  }

  private write(key: string, one: Kept): void {
    if (one.isStored || one.outcome === null) return;
    this.store.write(key, pack(one.seenAs, encode(one.outcome)));
    one.isStored = true;
  }
}

const HEX = 64;
function pack(seenAs: string, body: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(HEX + body.length);
  bytes.set(new TextEncoder().encode(seenAs), 0);
  bytes.set(body, HEX);
  return bytes;
}
function unpack(bytes: Uint8Array): { seenAs: string; outcome: Outcome<unknown> } {
  return {
    seenAs: new TextDecoder().decode(bytes.subarray(0, HEX)),
    outcome: decode(bytes.subarray(HEX)) as Outcome<unknown>,
  };
}

const POINTER_BYTES = 8;
/** About what a value takes up: its typed arrays exactly, a few bytes for each member of the rest. */
function bytesOf(value: unknown): number {
  if (typeof value === 'string') return POINTER_BYTES + value.length;
  if (typeof value !== 'object' || value === null) return POINTER_BYTES;
  if (ArrayBuffer.isView(value)) return value.byteLength;
  if (Array.isArray(value)) return value.reduce<number>((sum, one) => sum + bytesOf(one), POINTER_BYTES);
  return Object.values(value).reduce<number>((sum, one) => sum + bytesOf(one), POINTER_BYTES);
}
