/**
 * A second worker. Of a fresh farm it computes some fields: first what ranks them, then the mild and the harsh case. Of counts whose two
 * chains wait it runs the second. What it makes is handed to the coordinator's store, so who computed what changes nothing.
 */
import type { WeedScope } from '../../shared/analysis/quick-look.ts';
import { prepareField } from '../../shared/analysis/spread.ts';
import { startRunner } from '../../shared/analysis/study.ts';
import type { ResultStore } from '../../shared/analysis/step.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { Attachments } from './kept/attachments.ts';
import { memoryShelf } from './kept/shelf.ts';

/** Name of the worker, by which it knows its part. */
export const BESIDES = 'besides';

export interface Task {
  readonly farm: Farm;
  readonly season: number;
  readonly attachments: ReadonlyMap<string, Blob>;
  readonly share: { readonly fields: readonly string[] } | { readonly chainsOf: readonly WeedScope[] };
}

interface Made {
  readonly results: readonly (readonly [key: string, bytes: Uint8Array])[];
  /** True once all its fields can be ranked, or all its chains were run. */
  readonly isRankable: boolean;
}

export interface Besides {
  /** Resolves when its fields can be ranked or its chains were run; also where it failed: what is missing is then computed here. */
  readonly rankable: Promise<void>;
  end(): void;
}

export function startBesides(task: Task, take: (key: string, bytes: Uint8Array) => void): Besides {
  const worker = new Worker(self.location.href, { type: 'module', name: BESIDES });
  let rankable = () => undefined as void;
  const promise = new Promise<void>((resolve) => (rankable = resolve));
  worker.onmessage = ({ data }: MessageEvent<Made>) => {
    for (const [key, bytes] of data.results) take(key, bytes);
    if (data.isRankable) rankable();
  };
  worker.onerror = (event) => {
    // A fault is met again, and told, where the coordinator comes to the same field.
    event.preventDefault();
    rankable();
  };
  worker.postMessage(task);
  return {
    rankable: promise,
    end() {
      worker.terminate();
      rankable();
    },
  };
}

/** The other end. */
export function serveBesides(): void {
  self.onmessage = ({ data: task }: MessageEvent<Task>) => {
    for (const made of computed(task)) {
      const transfer = made.results.map(([, bytes]) => bytes.buffer as ArrayBuffer);
      self.postMessage(made, { transfer });
    }
  };
}

/** The share field by field, each with the results that became known. */
export function* computed({ farm, season, attachments, share }: Task): Generator<Made, void, void> {
  const results = new Map<string, Uint8Array>();
  const store: ResultStore = {
    has: () => false,
    read: () => null,
    write: (key, bytes) => void results.set(key, bytes),
  };
  const door = new Attachments(memoryShelf(), undefined, attachments);
  const runner = startRunner(farm, door, store);
  const given = (isRankable: boolean): Made => {
    for (const save = runner.save(); !save.next().done;);
    const list = [...results];
    results.clear();
    return { results: list, isRankable };
  };
  if ('chainsOf' in share) {
    for (const [n, weed] of share.chainsOf.entries()) {
      for (const work = runner.outcome('latent-chain', { ...weed, chain: 1 }); !work.next().done;);
      yield given(n === share.chainsOf.length - 1);
    }
    return;
  }
  const { fields } = share;
  for (const [n, field] of fields.entries()) {
    for (const work = prepareField(runner, field, season, ['central']); !work.next().done;);
    yield given(n === fields.length - 1);
  }
  // The coordinator comes from the front.
  for (const field of [...fields].reverse()) {
    for (const work = prepareField(runner, field, season, ['mild', 'harsh']); !work.next().done;);
    yield given(true);
  }
}
