/** Farms of a wished number of equal fields side by side, each with a harvest log and counts, made and taken in as text. */
import { speciesIdOf } from '../../shared/agronomy/species-names.ts';
import { digestOf } from '../../shared/analysis/digest.ts';
import { takeIn } from '../../shared/analysis/take-in.ts';
import { createFrame } from '../../shared/geometry/local-frame.ts';
import { readBundle } from '../../shared/import/importers.ts';
import { applyEdit } from '../../shared/model/edit.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { emptyFarm } from '../../shared/model/new-farm.ts';
import { stream } from '../../shared/statistics/random.ts';
import { sampleSettings } from '../../sample-data/make-sample.ts';
import { inventedFrame, inventedLog } from '../support/invented-log.ts';
import { run } from '../support/run.ts';

export interface InventedFarm {
  readonly farm: Farm;
  readonly attachments: ReadonlyMap<string, Uint8Array>;
  readonly records: number;
}

const LOG = { passS: 160, passes: 36 };
const WIDE_M = 288;
const HIGH_M = 315;
const PLACES = 40;
const SPECIES = 'waterhemp';

/** A log as the text that a monitor would write: metric, commas, times in UTC. */
export function logText(
  { passS, passes }: { passS: number; passes: number },
  eastDeg = 0,
  seed = 1,
  laterS = 0,
): string {
  const log = inventedLog({ passS, passes, seed });
  const lines = ['time,longitude,latitude,flow_kg_s,moisture_pct,swath_m,header'];
  for (let i = 0; i < log.count; i++) {
    const time = new Date(1000 * (log.timeS[i]! + laterS)).toISOString().replace('.000', '');
    const place = `${(log.lon[i]! + eastDeg).toFixed(8)},${log.lat[i]!.toFixed(8)}`;
    lines.push(`${time},${place},${log.flowKgS[i]!.toFixed(3)},17.0,${log.swathM[i]},${log.headerDown[i]}`);
  }
  return `${lines.join('\n')}\n`;
}

export function inventedFarm(fields: number): InventedFarm {
  const settings = sampleSettings();
  let farm: Farm = {
    ...emptyFarm('invented', 'Invented'),
    programs: settings.programs as unknown as Farm['programs'],
    planning: { ...settings.planning, budget: 2000 * fields },
    population: { [speciesIdOf(SPECIES)!]: { 9: 'fails' } } as unknown as Farm['population'],
  };
  const attachments = new Map<string, Uint8Array>();
  const add = (name: string, text: string) => {
    const bytes = new TextEncoder().encode(text);
    const source = { name, size: bytes.length, chunks: () => [bytes] };
    const read = run(readBundle({ name, parts: [source] }, {}));
    if (!read.ok) throw new Error(`invented farm: ${name} was refused: ${read.problems[0]?.text}`);
    const sha256 = digestOf(bytes);
    const taken = takeIn(farm, { name, sha256, bytes: bytes.length, parts: [], read: read.value, wishes: {} });
    if (!taken.ok) throw new Error(`invented farm: ${name} was not taken in: ${taken.problems[0]?.text}`);
    farm = applyEdit(farm, taken.value.edit).farm;
    attachments.set(sha256, bytes);
    return read.value.records;
  };
  const each = <T>(make: (index: number, eastDeg: number) => T) =>
    Array.from({ length: fields }, (_, i) => make(i, i / 100));
  add('boundaries.geojson', JSON.stringify({ type: 'FeatureCollection', features: each(boundary) }));
  add('crops.csv', ['Field,Year,Crop,Planted', ...each((i) => `Field ${i + 1},2020,corn,2020-05-01`)].join('\n'));
  add('scouting-2020.csv', ['date,longitude,latitude,species,count,quadrat_m2', ...each(counts).flat()].join('\n'));
  let records = 0;
  each((i, eastDeg) => {
    const read = add(`harvest-${i + 1}.csv`, logText(LOG, eastDeg, i + 1, 86_400 * i));
    if (read.kind === 'harvest log') records += read.count;
  });
  return { farm, attachments, records };
}

function boundary(index: number, eastDeg: number): object {
  const corners = [
    [-5, -5],
    [WIDE_M + 5, -5],
    [WIDE_M + 5, HIGH_M],
    [-5, HIGH_M],
    [-5, -5],
  ];
  const ring = corners.map(([x, y]) => {
    const [lon, lat] = inventedFrame.toLonLat(x!, y!);
    return [lon + eastDeg, lat];
  });
  return {
    type: 'Feature',
    properties: { name: `Field ${index + 1}` },
    geometry: { type: 'Polygon', coordinates: [ring] },
  };
}

/** Counts at random places, thick in the south-west corner. */
function counts(index: number, eastDeg: number): string[] {
  const random = stream(20_261_125, `invented farm ${index}`);
  const frame = createFrame(inventedFrame.origin);
  return Array.from({ length: PLACES }, () => {
    const [x, y] = [WIDE_M * random.uniform(), HIGH_M * random.uniform()];
    const [lon, lat] = frame.toLonLat(x, y);
    const expected = 6 * Math.exp(-(x * x + y * y) / (2 * 90 * 90));
    const count = Math.floor(expected * 2 * random.uniform());
    return `2020-09-01,${(lon + eastDeg).toFixed(7)},${lat.toFixed(7)},${SPECIES},${count},1`;
  });
}
