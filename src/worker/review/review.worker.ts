/** The review behind a message port: one thing after the other, in turns, so that a stop is heard. */
import { readNow } from '../kept/blob-source.ts';
import type { Progress } from '../protocol.ts';
import { driveInTurns, messageTurn } from '../turns.ts';
import { ReviewBench } from './bench.ts';
import type { ReviewAnswers, ReviewAsk, ReviewAsks, ReviewReply, ReviewRequest } from './protocol.ts';

interface Port {
  onmessage: ((event: { readonly data: ReviewRequest }) => void) | null;
  postMessage(reply: ReviewReply): void;
}
const port = self as unknown as Port;
const turn = messageTurn();
const SAY_EVERY_MS = 50;

const bench = new ReviewBench(readNow);
const stopped = new Set<number>();
let line: Promise<void> = Promise.resolve();

port.onmessage = ({ data: request }) => {
  if (request.kind === 'stop') stopped.add(request.number);
  else line = line.then(() => answer(request.number, request.what, request.ask));
};

async function answer(number: number, what: ReviewAsk, ask: ReviewAsks[ReviewAsk]): Promise<void> {
  let said = -Infinity;
  try {
    const given = await driveInTurns(worked(what, ask), {
      stopped: () => stopped.has(number),
      now: () => performance.now(),
      turn,
      onProgress(progress) {
        const now = performance.now();
        if (now - said < SAY_EVERY_MS) return;
        said = now;
        port.postMessage({ kind: 'progress', number, progress });
      },
    });
    port.postMessage(given === null ? { kind: 'stopped', number } : { kind: 'answer', number, answer: given.answer });
  } catch (error) {
    port.postMessage({ kind: 'broken', number, text: error instanceof Error ? error.message : String(error) });
  }
}

/** Wrapped, since an answer may be null and a stop is. */
function* worked(
  what: ReviewAsk,
  ask: ReviewAsks[ReviewAsk],
): Generator<Progress, { readonly answer: ReviewAnswers[ReviewAsk] }, void> {
  switch (what) {
    case 'gather':
      return { answer: yield* bench.gather((ask as ReviewAsks['gather']).files) };
    case 'read': {
      const { item, wishes } = ask as ReviewAsks['read'];
      return { answer: yield* bench.read(item, wishes) };
    }
    case 'rows': {
      const { item, from, count } = ask as ReviewAsks['rows'];
      return { answer: bench.rows(item, from, count) };
    }
    case 'change': {
      const { farm, items, lost } = ask as ReviewAsks['change'];
      return { answer: bench.change(farm, items, lost) };
    }
    case 'attachments':
      return { answer: bench.attachments((ask as ReviewAsks['attachments']).items) };
  }
}
