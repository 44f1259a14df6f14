import { expect, test } from 'vitest';
import type { FileCheck } from '../../../shared/analysis/check-file.ts';
import { formatNumber } from '../../../shared/units/format.ts';
import { endlessLog } from '../../support/endless-log.ts';
import { MemoryHost } from '../../support/memory-host.ts';

/**
 * Rows that nobody holds. Larger ones were tried by hand on two shared cores, too long for a test of every day: 300 MB (4.9 million
 * records) are read in 33 s with 241 MB; 100 MB on one block of 29 km² are checked, path and yield with it, in 71 s with 505 MB.
 */
const READ_BYTES = 100 * 2 ** 20;
const CHECKED_BYTES = 40 * 2 ** 20;
const MOST_BYTES = 400 * 2 ** 20;

class WatchedHost extends MemoryHost {
  override readonly showsProgress: boolean = true;
  private readonly before = memory();
  peakBytes = 0;
  writtenBytes = 0;

  override err(text: string): void {
    this.look();
    if (!text.startsWith('\r')) super.err(text);
  }
  /** Counts what streams to the disk, and keeps only what is small. */
  override write(path: string, content: Parameters<MemoryHost['write']>[1]): void {
    this.look();
    if (content instanceof Uint8Array) return super.write(path, content);
    for (const chunk of content.chunks()) this.writtenBytes += chunk.length;
    this.look();
  }
  look(): void {
    this.peakBytes = Math.max(this.peakBytes, memory() - this.before);
  }
}
function memory(): number {
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

test('a log of 40 MB is checked in bounded memory, every row read', () => {
  const host = new WatchedHost();
  const log = endlessLog('corn.csv', CHECKED_BYTES);
  host.lazy.set('corn.csv', log);
  const [check] = host.json<FileCheck[]>('check', 'corn.csv');
  host.look();
  expect(check).toMatchObject({ takenFor: 'harvest log', records: log.rows, rows: log.rows, unusedRows: 0 });
  expect(host.peakBytes).toBeLessThan(MOST_BYTES);
  expect(host.peakBytes).toBeGreaterThan(log.rows * 40);
}, 300_000);

test('a log of 100 MB is read by add and streamed to the farm, never held', () => {
  const host = new WatchedHost();
  const log = endlessLog('corn.csv', READ_BYTES);
  host.lazy.set('corn.csv', log);
  const strip = [
    [-93.6, 41.9],
    [-93.3, 41.9],
    [-93.3, 42.1],
    [-93.6, 42.1],
    [-93.6, 41.9],
  ];
  const geometry = { type: 'Polygon', coordinates: [strip] };
  host.put('field.geojson', JSON.stringify({ type: 'Feature', properties: { name: 'Wide' }, geometry }));
  host.run('new', 'farm');
  const { added } = host.json<{ added: { summary: string }[] }>('add', 'farm', 'corn.csv', 'field.geojson');
  expect(added.map((one) => one.summary)).toEqual([
    '1 field',
    `the harvest of Wide (${formatNumber(log.rows, 0)} records)`,
  ]);
  // The boundary file and the log, byte for byte.
  expect(host.writtenBytes).toBe(log.size + host.files.get('field.geojson')!.length);
  expect(host.peakBytes).toBeLessThan(MOST_BYTES);
}, 300_000);
