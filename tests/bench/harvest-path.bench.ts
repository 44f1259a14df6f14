/** Retracing harvest logs: records a second, and how the time grows from one to eight times the records. Seeded, warmed, repeated. */
import { createFrame } from '../../shared/geometry/local-frame.ts';
import { retraceHarvest, type HarvestInput } from '../../shared/harvest/harvest-path.ts';
import type { HarvestLogRecords } from '../../shared/model/records.ts';

/** A log of 1 s records at 1.8 m/s: passes of 800 m with 9 m header and 4 % overlap, turns of 15 s with the header up. */
export function inventedLog(records: number, seed = 1): HarvestLogRecords {
  let state = seed;
  const noise = () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return (state >>> 0) / 2 ** 32 - 0.5;
  };
  const frame = createFrame([-96, 42]);
  const log = {
    timeS: new Float64Array(records),
    lon: new Float64Array(records),
    lat: new Float64Array(records),
    flowKgS: new Float32Array(records),
    moistureFraction: new Float32Array(records).fill(0.17),
    swathM: new Float32Array(records).fill(9),
    headerDown: new Uint8Array(records),
    headingDeg: new Float32Array(records).fill(NaN),
    speedMS: new Float32Array(records).fill(NaN),
    durationS: new Float32Array(records).fill(NaN),
    row: Uint32Array.from({ length: records }, (_, i) => i + 2),
  };
  const speed = 1.8;
  const perPass = 444;
  const turn = 15;
  const surface = (x: number, y: number) => 9000 + 1500 * Math.sin(x / 17 + y / 40) + 900 * Math.cos(x / 73 + y / 60);
  const at = (i: number): [number, number, boolean] => {
    const pass = Math.floor(i / (perPass + turn));
    const step = i % (perPass + turn);
    const across = 8.64 * pass + (step < perPass ? 0 : (8.64 * (step - perPass)) / turn);
    const along = Math.min(step, perPass) * speed;
    return [pass % 2 === 0 ? along : perPass * speed - along, across, step < perPass];
  };
  for (let i = 0; i < records; i++) {
    const [x, y, down] = at(i);
    const [lon, lat] = frame.toLonLat(x + 0.03 * noise(), y + 0.03 * noise());
    log.lon[i] = lon;
    log.lat[i] = lat;
    log.timeS[i] = 1.6e9 + i;
    log.headerDown[i] = down ? 1 : 0;
    const cut = i >= 12 ? at(i - 12) : null;
    if (cut?.[2]) log.flowKgS[i] = surface(cut[0], cut[1]) * 1e-4 * speed * 8.64 * (1 + 0.05 * noise());
  }
  return { kind: 'harvest log', count: records, ...log, bounds: [-96, 42, -95.9, 42.1], crop: 'corn' };
}

export function retrace(log: HarvestLogRecords, more: Partial<HarvestInput> = {}) {
  const steps = retraceHarvest({
    log,
    frame: createFrame([-96, 42]),
    boundary: null,
    headerWidthM: 9,
    antennaForwardM: 0,
    crop: 'corn',
    scaleTotalKg: null,
    cellM: 5,
    grid: null,
    ...more,
  });
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
  }
}

/** Prints records a second and the growth from 1× to 8× records, and gives them back. */
export function run(): { oneS: number; perS: number; growth: number } {
  const records = 25_000;
  const oneS = median(7, inventedLog(records));
  const eightS = median(3, inventedLog(8 * records));
  const perS = records / oneS;
  const growth = eightS / oneS;
  console.log(
    `harvest path, ${records} records: ${(1000 * oneS).toFixed(0)} ms, ${(perS / 1000).toFixed(0)} 000 records a second`,
  );
  console.log(
    `eight times the records: ${growth.toFixed(1)} times the time; a farm of 350 000 on one core: ${((350_000 / records) * oneS).toFixed(1)} s`,
  );
  return { oneS, perS, growth };
}

function median(repeats: number, log: HarvestLogRecords): number {
  const took: number[] = [];
  for (let k = 0; k < repeats + 1; k++) {
    const start = performance.now();
    retrace(log);
    if (k >= 1) took.push((performance.now() - start) / 1000);
  }
  return took.sort((a, b) => a - b)[repeats >> 1]!;
}
