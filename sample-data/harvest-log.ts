/** A harvest log as the machine's screen would export it: a receiver that drifts, a sensor that trembles, the faults planted. */
import { instantText } from '../shared/units/calendar.ts';
import type { Trace } from './combine.ts';
import { Draws } from './draws.ts';
import { HEADER_M } from './drive.ts';
import { toLonLat } from './ground.ts';
import type { FaultyOrder } from './log-faults.ts';

export type LogStyle = 'metric' | 'us';

/** Share of a flow reading that is chance (one standard deviation). */
export const FLOW_NOISE_FRACTION = 0.04;
export const LOCAL_MINUS_UTC_MINUTES = -240;

const METRIC_HEADER = 'time,longitude,latitude,flow_kg_s,moisture_pct,swath_m,header,heading_deg,speed_m_s';
const US_HEADER =
  'Local time;Longitude;Latitude;Grain flow (lb/s);Moisture (%);Swath width (ft);Header;Course (deg);Speed (mph)';
const POUND_KG = 0.45359237;
const FOOT_M = 0.3048;
const MPH_MS = 0.44704;

/** Rows are turned to bytes block by block, so that few strings live at a time. */
const BLOCK_ROWS = 256;

export function logBytes(
  name: string,
  trace: Trace,
  order: FaultyOrder,
  startUnixS: number,
  style: LogStyle,
): Uint8Array {
  const us = style === 'us';
  const draws = new Draws(`readings ${name}`);
  const swath = us ? (HEADER_M / FOOT_M).toFixed(1) : HEADER_M.toFixed(3);
  const count = trace.count;
  const east = new Float64Array(count);
  const north = new Float64Array(count);
  let [driftEast, driftNorth] = [0, 0];
  for (let k = 0; k < count; k++) {
    driftEast = 0.995 * driftEast + 0.01 * draws.normal();
    driftNorth = 0.995 * driftNorth + 0.01 * draws.normal();
    east[k] = trace.x[k]! + driftEast + draws.between(-0.03, 0.03);
    north[k] = trace.y[k]! + driftNorth + draws.between(-0.03, 0.03);
  }
  const encoder = new TextEncoder();
  const blocks: Uint8Array[] = [encoder.encode(`${us ? US_HEADER : METRIC_HEADER}\n`)];
  let block = '';
  for (let row = 0; row < order.second.length; row++) {
    const k = order.second[row]!;
    const shown = order.positionOf[row]!;
    const [lon, lat] = toLonLat(east[shown]! + order.shiftEastM[row]!, north[shown]! + order.shiftNorthM[row]!);
    const flow = Math.max(0, trace.flowKgS[k]! * (1 + FLOW_NOISE_FRACTION * draws.normal()));
    const spike = order.moistureFraction[row]!;
    const moisture = spike === spike ? spike : trace.moistureFraction[k]! + 0.003 * draws.normal();
    let heading = trace.headingDeg[k]! + draws.between(-1, 1);
    if (heading < 0) heading += 360;
    if (heading >= 359.95) heading -= 360;
    const speed = Math.max(0, trace.speedMS[k]! * (1 + draws.between(-0.02, 0.02)));
    const down = trace.headerDown[k] === 1;
    const course = Math.max(0, heading).toFixed(1);
    block += us
      ? `${localText(startUnixS + k)};${lon.toFixed(7)};${lat.toFixed(7)};${(flow / POUND_KG).toFixed(2)};${(100 * moisture).toFixed(1)};${swath};${down ? 'down' : 'up'};${course};${(speed / MPH_MS).toFixed(2)}\n`
      : `${instantText(startUnixS + k)},${lon.toFixed(7)},${lat.toFixed(7)},${flow.toFixed(3)},${(100 * moisture).toFixed(1)},${swath},${down ? 1 : 0},${course},${speed.toFixed(2)}\n`;
    if (row % BLOCK_ROWS === BLOCK_ROWS - 1 || row === order.second.length - 1) {
      blocks.push(encoder.encode(block));
      block = '';
    }
  }
  const bytes = new Uint8Array(blocks.reduce((sum, one) => sum + one.length, 0));
  let at = 0;
  for (const one of blocks) {
    bytes.set(one, at);
    at += one.length;
  }
  return bytes;
}

function localText(unixS: number): string {
  return instantText(unixS + 60 * LOCAL_MINUS_UTC_MINUTES)
    .replace('T', ' ')
    .slice(0, 19);
}
