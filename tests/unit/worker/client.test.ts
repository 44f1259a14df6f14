import { describe, expect, it } from 'vitest';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import { CoreClient, type Listener, type WorkerPort } from '../../../src/worker/client.ts';
import type { Progress, Reply, Request } from '../../../src/worker/protocol.ts';

/** A worker that does nothing but remember what it was asked; the test speaks for it. */
function silentWorker() {
  const asked: Request[] = [];
  const transferred: Transferable[] = [];
  const port: WorkerPort = {
    onmessage: null,
    onerror: null,
    postMessage(request, transfer = []) {
      asked.push(request);
      transferred.push(...transfer);
    },
  };
  const says = (reply: Reply) => port.onmessage!({ data: reply } as MessageEvent<Reply>);
  return { port, asked, transferred, says };
}

function listening() {
  const heard: Progress[] = [];
  const opened: string[] = [];
  const listener: Listener = {
    opened: (farm) => void opened.push(farm.name),
    progress: (progress) => void heard.push(progress),
    firstLook: () => undefined,
  };
  return { heard, opened, listener };
}

const how = { taken: [], as: null, keeps: true, season: null };
const study = { schema: 1, summary: 'one' } as unknown as Study;
const progress = (done: number): Progress => ({ title: 'Reading', done, total: 9 });

describe('the client of the core', () => {
  it('hands the bytes over and gives the result of its own request', async () => {
    const { port, asked, transferred, says } = silentWorker();
    const client = new CoreClient(port);
    const { heard, opened, listener } = listening();
    const bytes = new ArrayBuffer(4);
    const work = client.open('farm.zip', bytes, how, listener);
    expect(asked).toEqual([{ kind: 'open', number: 1, name: 'farm.zip', bytes, how }]);
    expect(transferred).toEqual([bytes]);
    says({ kind: 'opened', number: 1, farm: emptyFarm('a', 'Farm A'), problems: [] });
    says({ kind: 'progress', number: 1, progress: progress(3) });
    says({ kind: 'result', number: 1, study });
    expect(await work.ending).toEqual({ kind: 'result', study });
    expect(opened).toEqual(['Farm A']);
    expect(heard).toEqual([progress(3)]);
  });

  it('lets the latest request win: the older one ends as overtaken, and its late replies are not heard', async () => {
    const { port, says } = silentWorker();
    const client = new CoreClient(port);
    const [first, second] = [listening(), listening()];
    const older = client.open('one.zip', new ArrayBuffer(1), how, first.listener);
    const newer = client.open('two.zip', new ArrayBuffer(1), how, second.listener);
    expect(await older.ending).toEqual({ kind: 'overtaken' });
    says({ kind: 'opened', number: 1, farm: emptyFarm('a', 'Farm A'), problems: [] });
    says({ kind: 'progress', number: 1, progress: progress(8) });
    says({ kind: 'result', number: 1, study: { ...study, summary: 'stale' } });
    says({ kind: 'progress', number: 2, progress: progress(1) });
    says({ kind: 'result', number: 2, study });
    expect(await newer.ending).toEqual({ kind: 'result', study });
    // The worker had it open for a moment, and so has the page; of its study nothing is heard.
    expect(first).toMatchObject({ heard: [], opened: ['Farm A'] });
    expect(second.heard).toEqual([progress(1)]);
  });

  it('stops by return() at once, tells the worker, and hears no more of it', async () => {
    const { port, asked, says } = silentWorker();
    const client = new CoreClient(port);
    const { heard, listener } = listening();
    const work = client.open('farm.zip', new ArrayBuffer(1), how, listener);
    work.return();
    expect(await work.ending).toEqual({ kind: 'stopped' });
    expect(asked.at(-1)).toEqual({ kind: 'stop', number: 1 });
    says({ kind: 'progress', number: 1, progress: progress(5) });
    says({ kind: 'result', number: 1, study });
    expect(heard).toEqual([]);
    work.return();
    expect(asked).toHaveLength(2);
  });

  it('does not stop a newer request by the return() of an older one', async () => {
    const { port, asked, says } = silentWorker();
    const client = new CoreClient(port);
    const older = client.open('one.zip', new ArrayBuffer(1), how, listening().listener);
    const newer = client.resume(null, listening().listener);
    older.return();
    expect(asked.map((one) => one.kind)).toEqual(['open', 'resume']);
    says({ kind: 'result', number: 2, study });
    expect((await newer.ending).kind).toBe('result');
  });

  it('ends as refused, stopped or broken as the worker says, and as broken where the worker dies', async () => {
    const { port, says } = silentWorker();
    const client = new CoreClient(port);
    const refused = client.open('x', new ArrayBuffer(1), how, listening().listener);
    says({ kind: 'refused', number: 1, problems: [{ code: 'not-a-zip', level: 'error', text: 'Not a zip.' }] });
    expect(await refused.ending).toMatchObject({ kind: 'refused', problems: [{ code: 'not-a-zip' }] });
    const stopped = client.resume(null, listening().listener);
    says({ kind: 'stopped', number: 2 });
    expect(await stopped.ending).toEqual({ kind: 'stopped' });
    const broken = client.resume(null, listening().listener);
    says({ kind: 'broken', number: 3, text: 'why' });
    expect(await broken.ending).toEqual({ kind: 'broken', text: 'why' });
    const dead = client.resume(null, listening().listener);
    port.onerror!({ message: 'gone' } as ErrorEvent);
    expect(await dead.ending).toEqual({ kind: 'broken', text: 'gone' });
  });

  it('hears which farm the worker opened even where its study was stopped or overtaken, unless a later one is on the desk', () => {
    const { port, asked, says } = silentWorker();
    const client = new CoreClient(port);
    const [first, second] = [listening(), listening()];
    client.open('one.zip', new ArrayBuffer(1), how, first.listener).return();
    says({ kind: 'opened', number: 1, farm: emptyFarm('a', 'Farm A'), problems: [] });
    expect(first.opened).toEqual(['Farm A']);
    client.open('two.zip', new ArrayBuffer(1), how, second.listener);
    client.edit({ label: 'Rate West', sets: [] }, null, listening().listener);
    // The edit was of the document before: the worker is told which, and knows better.
    expect(asked.at(-1)).toMatchObject({ kind: 'edit', of: 1 });
    says({ kind: 'opened', number: 2, farm: emptyFarm('b', 'Farm B'), problems: [] });
    expect(second.opened).toEqual(['Farm B']);
    const late = listening();
    client.open('three.zip', new ArrayBuffer(1), how, late.listener);
    client.reopen(emptyFarm('c', 'Farm C'), [], true, null, listening().listener);
    says({ kind: 'opened', number: 4, farm: emptyFarm('d', 'Farm D'), problems: [] });
    expect(late.opened).toEqual([]);
  });

  it('ends as taken where a farm of that id is here already, and tells where attachments lie', async () => {
    const { port, says } = silentWorker();
    const client = new CoreClient(port);
    const told: string[] = [];
    client.onKept = (kept) => void told.push(`${kept.farm} in ${kept.where}`);
    const work = client.open('one.zip', new ArrayBuffer(1), how, listening().listener);
    says({ kind: 'taken', number: 1, farm: { id: 'a', name: 'Farm A' } });
    expect(await work.ending).toEqual({ kind: 'taken', farm: { id: 'a', name: 'Farm A' } });
    says({ kind: 'kept', number: 1, kept: { farm: 'a', where: 'private files', problems: [] } });
    expect(told).toEqual(['a in private files']);
  });

  it('answers each question by its own number, also while a study runs, and fails those that went wrong', async () => {
    const { port, asked, says } = silentWorker();
    const client = new CoreClient(port);
    const work = client.resume(null, listening().listener);
    const one = client.ask('working', { path: 'fields/west/stakePerHa' });
    const two = client.ask('scouted places', { season: 2026 });
    expect(asked.slice(1)).toEqual([
      { kind: 'ask', number: 2, question: 'working', ask: { path: 'fields/west/stakePerHa' } },
      { kind: 'ask', number: 3, question: 'scouted places', ask: { season: 2026 } },
    ]);
    says({ kind: 'answer', number: 3, answer: [] });
    says({ kind: 'broken', number: 2, text: 'no farm is open' });
    expect(await two).toEqual([]);
    await expect(one).rejects.toThrow('no farm is open');
    says({ kind: 'result', number: 1, study });
    expect(await work.ending).toEqual({ kind: 'result', study });
  });

  it('tells how far a long answer is, to the one who asked for it alone', async () => {
    const { port, says } = silentWorker();
    const client = new CoreClient(port);
    const { heard, listener } = listening();
    client.resume(null, listener);
    const told: Progress[] = [];
    const ask = { field: 'west', season: 2026, way: 'to', ground: { at: [0, 0], radiusM: 9 } } as const;
    const one = client.ask('seed trace', ask, [], (progress) => void told.push(progress));
    says({ kind: 'progress', number: 2, progress: progress(4) });
    says({ kind: 'answer', number: 2, answer: null });
    says({ kind: 'progress', number: 2, progress: progress(5) });
    expect(await one).toBeNull();
    expect(told).toEqual([progress(4)]);
    expect(heard).toEqual([]);
  });
});
