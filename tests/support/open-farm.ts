/** A farm file opened as the worker does, all of it in memory. */
import type { Study } from '../../shared/analysis/study.ts';
import { openFarmFile } from '../../src/worker/farm-file.ts';
import { Attachments } from '../../src/worker/kept/attachments.ts';
import { ResultPacks } from '../../src/worker/kept/result-packs.ts';
import { memoryShelf } from '../../src/worker/kept/shelf.ts';
import { OpenFarm } from '../../src/worker/open-farm.ts';

export async function openedFarm(name: string, file: Uint8Array): Promise<OpenFarm> {
  const opened = openFarmFile(name, file);
  if (!opened.ok) throw new Error(opened.problems[0]!.text);
  const { farm, contentOf } = opened.value;
  // A worker reads a blob at once; Node cannot, so that the bytes are remembered beside it.
  const bytesOf = new WeakMap<Blob, Uint8Array>();
  const attachments = new Attachments(memoryShelf(), (blob, from, to) => bytesOf.get(blob)!.subarray(from, to));
  for (const one of farm.files) {
    const bytes = (await contentOf(one))!;
    const blob = new Blob([bytes]);
    bytesOf.set(blob, bytes);
    await attachments.add(one.sha256, one.name, blob);
  }
  return new OpenFarm(farm, attachments, ResultPacks.inMemory());
}

/** Studied to its end. */
export function studied(open: OpenFarm, season: number | null = null): Study {
  const work = open.study(season);
  for (;;) {
    const turn = work.next();
    if (turn.done) return turn.value.study;
  }
}
