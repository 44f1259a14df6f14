/** The core behind a message port: opens a farm file, drives its study in turns, and says how far it is. Latest request wins. */
import { startRunner, studyFarm } from '../../shared/analysis/study.ts';
import { type FarmFileInMemory, openFarmFile } from './farm-file.ts';
import type { Reply, Request } from './protocol.ts';
import { StudyProgress } from './study-progress.ts';
import { driveInTurns, messageTurn } from './turns.ts';

interface Port {
  onmessage: ((event: { readonly data: Request }) => void) | null;
  postMessage(reply: Reply): void;
}
const port = self as unknown as Port;
const turn = messageTurn();
const SAY_EVERY_MS = 50;

/** The request whose work may go on; none once it was stopped. */
let current: number | null = null;
let open: FarmFileInMemory | null = null;

port.onmessage = ({ data: request }) => {
  switch (request.kind) {
    case 'open':
      current = request.number;
      answering(request.number, () => openAndStudy(request.number, request.name, new Uint8Array(request.bytes)));
      break;
    case 'resume':
      current = request.number;
      answering(request.number, () => study(request.number));
      break;
    case 'stop':
      if (current === request.number) current = null;
      break;
  }
};

async function openAndStudy(number: number, name: string, bytes: Uint8Array): Promise<void> {
  const opened = openFarmFile(name, bytes);
  if (!opened.ok) return port.postMessage({ kind: 'refused', number, problems: opened.problems });
  open = opened.value;
  port.postMessage({ kind: 'opened', number, farm: open.farm, problems: opened.problems });
  await study(number);
}

async function study(number: number): Promise<void> {
  if (!open) throw new Error('core.worker: no farm is open');
  const { farm, door, results } = open;
  const progress = new StudyProgress(farm);
  let said = -Infinity;
  const run = await driveInTurns(studyFarm(startRunner(farm, door, results)), {
    stopped: () => current !== number,
    now: () => performance.now(),
    turn,
    onProgress(seen) {
      progress.see(seen);
      const now = performance.now();
      if (now - said < SAY_EVERY_MS) return;
      said = now;
      port.postMessage({ kind: 'progress', number, progress: progress.line() });
    },
  });
  if (run === null) port.postMessage({ kind: 'stopped', number });
  else port.postMessage({ kind: 'result', number, study: run.study });
}

function answering(number: number, work: () => Promise<void>): void {
  work().catch((error: unknown) => {
    const text = error instanceof Error ? error.message : String(error);
    port.postMessage({ kind: 'broken', number, text });
  });
}
