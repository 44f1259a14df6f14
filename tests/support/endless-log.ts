/** A harvest log of any size that is never held: its rows are made as they are read. */
import type { ByteSource } from '../../shared/model/records.ts';

const ROW_BYTES = 64;
const ROWS_A_CHUNK = 16_384;
const HEADER = 'time,longitude,latitude,flow_kg_s,moisture_pct,swath_m,header   \n';
const START_S = Date.UTC(2026, 8, 1) / 1000;

/** About `bytes` of rows of 64 bytes, one a second at 2 m/s, up and down strips of 5 km. */
export function endlessLog(name: string, bytes: number): ByteSource & { readonly rows: number } {
  const rows = Math.floor(bytes / ROW_BYTES);
  return {
    name,
    rows,
    size: HEADER.length + rows * ROW_BYTES,
    *chunks() {
      yield new TextEncoder().encode(HEADER);
      for (let from = 0; from < rows; from += ROWS_A_CHUNK) {
        let text = '';
        for (let row = from; row < Math.min(rows, from + ROWS_A_CHUNK); row++) text += rowText(row);
        yield new TextEncoder().encode(text);
      }
    },
  };
}

function rowText(row: number): string {
  const strip = Math.floor(row / 2500);
  const along = 2 * (row % 2500);
  const y = strip % 2 === 0 ? along : 5000 - along;
  const lat = (42 + y / 111_000).toFixed(7);
  const lon = (-93.5 + (strip * 9) / 82_500).toFixed(7);
  const flow = (8 + Math.sin(row / 50)).toFixed(2);
  const cells = `${START_S + row},${lon},${lat},${flow},15.0,9.0,1`;
  return `${cells.padEnd(ROW_BYTES - 1)}\n`;
}
