import type { HarvestLogRecords } from '../model/records.ts';

/** Several logs of one field as one, the records of the earlier file first; records in = records out. */
export function joinLogs(logs: readonly HarvestLogRecords[]): HarvestLogRecords {
  if (logs.length === 0) throw new Error('joinLogs: expected at least one log');
  const first = logs[0]!;
  if (logs.length === 1) return first;
  const count = logs.reduce((sum, log) => sum + log.count, 0);
  const bounds = logs.map((log) => log.bounds);
  const made = logs.find((log) => log.timesMade !== undefined)?.timesMade;
  return {
    kind: 'harvest log',
    count,
    timeS: join(
      new Float64Array(count),
      logs.map((log) => log.timeS),
    ),
    lon: join(
      new Float64Array(count),
      logs.map((log) => log.lon),
    ),
    lat: join(
      new Float64Array(count),
      logs.map((log) => log.lat),
    ),
    flowKgS: join(
      new Float32Array(count),
      logs.map((log) => log.flowKgS),
    ),
    moistureFraction: join(
      new Float32Array(count),
      logs.map((log) => log.moistureFraction),
    ),
    swathM: join(
      new Float32Array(count),
      logs.map((log) => log.swathM),
    ),
    headerDown: join(
      new Uint8Array(count),
      logs.map((log) => log.headerDown),
    ),
    headingDeg: join(
      new Float32Array(count),
      logs.map((log) => log.headingDeg),
    ),
    speedMS: join(
      new Float32Array(count),
      logs.map((log) => log.speedMS),
    ),
    durationS: join(
      new Float32Array(count),
      logs.map((log) => log.durationS),
    ),
    row: join(
      new Uint32Array(count),
      logs.map((log) => log.row),
    ),
    ...(made === undefined ? {} : { timesMade: made }),
    ...(logs.some((one) => one.machine) ? { machine: machinesOf(logs, count) } : {}),
    bounds: [
      Math.min(...bounds.map((one) => one[0])),
      Math.min(...bounds.map((one) => one[1])),
      Math.max(...bounds.map((one) => one[2])),
      Math.max(...bounds.map((one) => one[3])),
    ],
    crop: first.crop,
  };
}

/** Machines that the files tell apart; of different files nobody knows whether they are one: those without go with the first. */
function machinesOf(logs: readonly HarvestLogRecords[], count: number): Uint8Array {
  return join(
    new Uint8Array(count),
    logs.map((log) => log.machine ?? new Uint8Array(log.count)),
  );
}

/** Stretch of time that two logs of one field share, by their places in the list. */
export interface LogOverlap {
  readonly first: number;
  readonly second: number;
  readonly fromS: number;
  readonly toS: number;
  /** Row of the second at which it begins. */
  readonly row: number;
  /** Records of the second in it. */
  readonly records: number;
}

/** Logs of one machine cannot run at the same time: each pair that does. */
export function overlapsOf(logs: readonly HarvestLogRecords[]): LogOverlap[] {
  const spans = logs.map(({ timeS }) => {
    let [fromS, toS] = [Infinity, -Infinity];
    for (const time of timeS) [fromS, toS] = [Math.min(fromS, time), Math.max(toS, time)];
    return { fromS, toS };
  });
  return spans.flatMap((a, first) =>
    spans.flatMap((b, second): LogOverlap[] => {
      const [fromS, toS] = [Math.max(a.fromS, b.fromS), Math.min(a.toS, b.toS)];
      if (second <= first || fromS >= toS) return [];
      const { timeS, row } = logs[second]!;
      const inside = (time: number) => time >= fromS && time <= toS;
      const at = timeS.findIndex(inside);
      if (at < 0) return [];
      let records = 0;
      for (const time of timeS) if (inside(time)) records++;
      return [{ first, second, fromS, toS, row: row[at]!, records }];
    }),
  );
}

function join<T extends Float64Array | Float32Array | Uint8Array | Uint32Array>(out: T, parts: readonly T[]): T {
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}
