import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { sampleFiles } from '../../../sample-data/make-sample.ts';
import { FIELDS } from '../../../sample-data/layout.ts';
import type { FieldTruth } from '../../../sample-data/truth.ts';
import { closeTo } from '../../support/close-to.ts';

const folder = fileURLToPath(new URL('../../../sample-data/', import.meta.url));
const isLog = (path: string) => path.startsWith('harvest-');

/** What engines differ in. None of it may be asked while the files are made. */
const ENGINES_OWN = [
  'sin',
  'cos',
  'tan',
  'atan',
  'atan2',
  'asin',
  'acos',
  'exp',
  'expm1',
  'log',
  'log1p',
  'log2',
  'log10',
  'pow',
  'sinh',
  'cosh',
  'tanh',
  'asinh',
  'acosh',
  'atanh',
  'cbrt',
  'hypot',
  'random',
] as const;

/** The packer of the one zip asks how large a table to take: a logarithm rounded to a whole number, once an entry. */
let logarithmsOfThePacker = 0;

function* withoutTheEngine<T>(files: Generator<T>): Generator<T> {
  for (;;) {
    const kept = ENGINES_OWN.map((name) => Math[name]);
    const log = Math.log;
    for (const name of ENGINES_OWN) {
      Math[name] = () => {
        throw new Error(`the sample asked the engine for ${name}`);
      };
    }
    Math.log = (x) => {
      logarithmsOfThePacker++;
      return log(x);
    };
    let next: IteratorResult<T>;
    try {
      next = files.next();
    } finally {
      ENGINES_OWN.forEach((name, i) => (Math[name] = kept[i] as never));
    }
    if (next.done) return;
    yield next.value;
  }
}

const paths: string[] = [];
const small = new Map<string, Uint8Array>();
const hashes: Record<string, string> = {};
/** Rows of a log by its path, header line first. */
const logs = new Map<string, string[]>();
let logBytes = 0;

beforeAll(() => {
  for (const { path, bytes } of withoutTheEngine(sampleFiles())) {
    paths.push(path);
    if (!isLog(path)) {
      small.set(path, bytes);
      continue;
    }
    hashes[path] = createHash('sha256').update(bytes).digest('hex');
    logBytes += bytes.length;
    logs.set(path, new TextDecoder().decode(bytes).trimEnd().split('\n'));
  }
  if (process.env['SAMPLE_WRITE']) {
    mkdirSync(`${folder}files`, { recursive: true });
    for (const [path, bytes] of small) writeFileSync(`${folder}files/${path}`, bytes);
    writeFileSync(`${folder}hashes.json`, `${JSON.stringify(hashes, null, 2)}\n`);
  }
}, 120_000);

const truth = () => JSON.parse(new TextDecoder().decode(small.get('truth.json'))) as { fields: FieldTruth[] };

describe('the sample farm, made anew without the engine’s mathematics', () => {
  it('gives the committed files byte for byte, and no other files are committed', () => {
    expect(readdirSync(`${folder}files`).sort()).toEqual([...small.keys()].sort());
    for (const [path, bytes] of small) {
      expect(Buffer.compare(readFileSync(`${folder}files/${path}`), bytes), path).toBe(0);
    }
  });

  it('gives the harvest logs by the hashes kept', () => {
    expect(hashes).toEqual(JSON.parse(readFileSync(`${folder}hashes.json`, 'utf8')));
  });

  it('asks for no logarithm but for those of the packer, one for each of the five parts of the shapefile', () => {
    expect(logarithmsOfThePacker).toBe(5);
  });

  it('starts with the small files and ends with the truth', () => {
    const firstLog = paths.findIndex(isLog);
    expect(paths.slice(firstLog, -1).every(isLog)).toBe(true);
    expect(paths.at(-1)).toBe('truth.json');
    expect(paths[0]).toBe('settings.json');
  });

  it('commits little and makes about 350 000 records', () => {
    const bytes = [...small.values()].reduce((sum, { length }) => sum + length, 0);
    expect(bytes).toBeLessThan(400_000);
    expect(logs.size).toBe(13);
    const records = [...logs.values()].reduce((sum, rows) => sum + rows.length - 1, 0);
    expect(records).toBeGreaterThan(330_000);
    expect(records).toBeLessThan(370_000);
    expect(logBytes).toBeLessThan(30e6);
  });
});

describe('the truth told of the logs', () => {
  const number = (row: string, column: number) => Number(row.split(/[,;]/)[column]);

  it('counts their records', () => {
    for (const { log } of truth().fields) if (log) expect(logs.get(log.file)!.length - 1).toBe(log.records);
  });

  it('names the rows of every fault, and there is something wrong there', () => {
    for (const { log } of truth().fields) {
      if (!log) continue;
      const rows = logs.get(log.file)!;
      const time = (row: number) =>
        Date.parse(`${rows[row - 1]!.split(/[,;]/)[0]!.replace('Z', '').replace(' ', 'T')}Z`);
      for (const { kind, row, note } of log.faults) {
        const here = rows[row - 1]!;
        const where = `${log.file} row ${row}: ${kind}`;
        const stepM = Math.hypot(
          (number(here, 1) - number(rows[row - 2]!, 1)) * 85_000,
          (number(here, 2) - number(rows[row - 2]!, 2)) * 111_000,
        );
        if (kind === 'duplicated second') expect(time(row), where).toBe(time(row - 1));
        if (kind === 'gap') expect(time(row) - time(row - 1), where).toBe(31_000);
        if (kind === 'time order') expect(time(row), where).toBeLessThan(time(row - 1));
        if (kind === 'position jump') expect(stepM, where).toBeGreaterThan(30);
        if (kind === 'frozen position') expect(stepM, where).toBe(0);
        if (kind === 'moisture spike') expect(`${number(here, 4).toFixed(1)} %`, where).toBe(note);
        if (kind === 'header left down') expect(here.split(/[,;]/)[6], where).toMatch(/^(1|down)$/);
      }
    }
  });

  it('has every kind of fault, one gap of 30 s among them, and one file in other units', () => {
    const all = truth().fields.flatMap(({ log }) => log?.faults ?? []);
    for (const kind of [
      'position jump',
      'duplicated second',
      'gap',
      'moisture spike',
      'frozen position',
      'time order',
      'header left down',
    ]) {
      expect(
        all.some((fault) => fault.kind === kind),
        kind,
      ).toBe(true);
    }
    expect(truth().fields.filter(({ log }) => log?.units === 'us')).toHaveLength(1);
    expect(logs.get('harvest-2026/north-flat.csv')![0]).toContain('lb/s');
  });

  it('weighs in a log what the field gave, up to noise, moisture and what the faults took', () => {
    for (const { log, grainKg, name, crop } of truth().fields) {
      if (!log) continue;
      const market = crop === 'corn' ? 0.155 : 0.13;
      const unit = log.units === 'us' ? 0.45359237 : 1;
      let kg = 0;
      const rows = logs.get(log.file)!;
      for (let row = 1; row < rows.length; row++) {
        const wet = number(rows[row]!, 4) / 100;
        if (wet > 0.05 && wet < 0.4) kg += (number(rows[row]!, 3) * unit * (1 - wet)) / (1 - market);
      }
      closeTo(kg / grainKg, 1, { within: 0.006, because: `${name}: up to 30 s of 5 h lost, 4 % noise averages out` });
    }
  });
});

describe('the counts', () => {
  const table = (path: string) =>
    new TextDecoder()
      .decode(small.get(path))
      .trimEnd()
      .split('\n')
      .slice(1)
      .map((row) => row.split(','));

  it('are mostly zeros, of unequal effort, in all fields said to be counted', () => {
    const quadrats = table('scouting-2026-late.csv');
    const rows = table('scouting-2026-late-rows.csv');
    const zeros = [...quadrats, ...rows].filter((row) => row[6] === '0').length;
    expect(zeros / (quadrats.length + rows.length)).toBeGreaterThan(0.7);
    expect(new Set(quadrats.map((row) => row[7])).size).toBeGreaterThanOrEqual(4);
    expect(new Set(rows.map((row) => row[7])).size).toBe(2);
    for (const field of FIELDS) {
      const points = [...quadrats, ...rows].filter((row) => row[1] === field.name && row[5] === 'waterhemp');
      expect(points.length, field.name).toBe(field.places);
    }
  });

  it('hold the first Palmer amaranth in Tower alone; in Creek it is only rated', () => {
    const found = table('scouting-2026-late.csv').filter((row) => row[5] === 'Palmer amaranth' && row[6] !== '0');
    expect([...new Set(found.map((row) => row[1]))].sort()).toEqual(['Tower']);
    expect(table('ratings-2026.csv')).toContainEqual(['Creek', 'Palmer amaranth', 'few', '2026-08-31']);
  });
});
