/** Raw files of a farm of large fields, as a grower would bring them. */
import { closeSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { createFrame } from '../../shared/geometry/local-frame.ts';
import { inventedFrame } from '../support/invented-log.ts';
import { logText } from './invented-farm.ts';

const LOG = { passS: 444, passes: 436 };
/** Of each log. */
export const LARGE_LOG_RECORDS = LOG.passes * 459;
const [WIDE_M, HIGH_M] = [LOG.passS * 1.8, LOG.passes * 8.64 + 9];
const DAY_S = 86_400;
/** Degrees from one field to the next. */
const APART_DEG = 0.02;

/** Boundaries, crops, a rating a field, and a log a field; one field after the other, so that their text is never together. */
export function writeLargeFarm(folder: string, fields: number): string[] {
  const numbers = Array.from({ length: fields }, (_, at) => at);
  const named = (at: number) => `Field ${at + 1}`;
  const put = (name: string, text: string) => {
    writeFileSync(join(folder, name), text);
    return join(folder, name);
  };
  const files = [
    put('boundaries.geojson', JSON.stringify({ type: 'FeatureCollection', features: numbers.map(boundary) })),
    put(
      'crops.csv',
      ['Field,Year,Crop,Planted', ...numbers.map((at) => `${named(at)},2020,corn,2020-05-01`)].join('\n'),
    ),
    put(
      'ratings.csv',
      [
        'field,date,species,rating',
        ...numbers.map((at) => `${named(at)},2020-08-01,waterhemp,${at % 3 === 0 ? 'none seen' : 'patches'}`),
      ].join('\n'),
    ),
  ];
  for (const at of numbers) {
    const file = join(folder, `harvest-${at + 1}.csv`);
    const out = openSync(file, 'w');
    writeSync(out, logText(LOG, at * APART_DEG, at + 1, at * 3 * DAY_S));
    closeSync(out);
    files.push(file);
  }
  return files;

  function boundary(at: number): object {
    const frame = createFrame([inventedFrame.toLonLat(0, 0)[0] + at * APART_DEG, inventedFrame.toLonLat(0, 0)[1]]);
    const ring = [
      [-2, -2],
      [WIDE_M + 2, -2],
      [WIDE_M + 2, HIGH_M + 2],
      [-2, HIGH_M + 2],
      [-2, -2],
    ].map(([x, y]) => frame.toLonLat(x!, y!));
    return { type: 'Feature', properties: { name: named(at) }, geometry: { type: 'Polygon', coordinates: [ring] } };
  }
}
