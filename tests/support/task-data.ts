/** Small task sets written byte by byte, so that a clone tests itself: a header, its records, and the task file about them. */
import type { Bundle } from '../../shared/import/importer.ts';
import { groupIntoBundles } from '../../shared/import/bundles.ts';
import { sourceOf } from './bundle.ts';

export interface MadeRecord {
  /** Milliseconds since midnight. */
  readonly ms: number;
  /** Days since 1980-01-01; default 2026-10-03. */
  readonly day?: number;
  readonly lat: number;
  readonly lon: number;
  /** Place in the header → raw value. */
  readonly values?: Readonly<Record<number, number>>;
}

/** 2026-10-03 as days since 1980-01-01. */
export const DAY = 17_077;

/** Entry of the dictionary and device element of each logged value. */
export type MadeValue = readonly [ddi: string, element: string, constant?: number];

export function headerXml(values: readonly MadeValue[], point = 'A="" B="" D=""'): string {
  const list = values.map(([ddi, element, constant]) => `<DLV A="${ddi}" B="${constant ?? ''}" C="${element}"/>`);
  return `<?xml version="1.0" encoding="UTF-8"?>\n<TIM A="" D="4"><PTN ${point}/>${list.join('')}</TIM>\n`;
}

/** Records with time, latitude, longitude and status, as `headerXml` says by default. */
export function recordBytes(records: readonly MadeRecord[], extraBytes = 0): Uint8Array {
  const pieces = records.map(({ ms, day = DAY, lat, lon, values = {} }) => {
    const entries = Object.entries(values);
    const bytes = new Uint8Array(16 + extraBytes + entries.length * 5);
    const view = new DataView(bytes.buffer);
    view.setUint32(0, ms, true);
    view.setUint16(4, day, true);
    view.setInt32(6, Math.round(lat * 1e7), true);
    view.setInt32(10, Math.round(lon * 1e7), true);
    view.setUint8(14, 2);
    view.setUint8(15 + extraBytes, entries.length);
    entries.forEach(([index, value], n) => {
      view.setUint8(16 + extraBytes + n * 5, Number(index));
      view.setInt32(17 + extraBytes + n * 5, value, true);
    });
    return bytes;
  });
  const whole = new Uint8Array(pieces.reduce((sum, one) => sum + one.length, 0));
  let at = 0;
  for (const one of pieces) {
    whole.set(one, at);
    at += one.length;
  }
  return whole;
}

const MACHINE = `<DVC A="DVC-1" B="combine"><DET A="DET-1" B="1" C="1" D="machine" E="0" F="0"/>
<DET A="DET-2" B="2" C="2" D="header" E="1" F="1"><DOR A="50"/></DET><DPT A="50" B="0044" C="9144" D="width"/></DVC>`;

export function taskFile(
  tasks: readonly { readonly log: string; readonly field?: string; readonly name?: string }[],
  { version = [4, 3], devices = MACHINE, crop = '' } = {},
): string {
  const fields = tasks.map(({ field }, n) =>
    field === undefined ? '' : `<PFD A="PFD${n + 1}" C="${field}" D="160000"${crop === '' ? '' : ' G="CTP1"'}/>`,
  );
  const list = tasks.map(
    ({ log, field, name }, n) =>
      `<TSK A="TSK${n + 1}" B="${name ?? `task ${n + 1}`}"${field === undefined ? '' : ` E="PFD${n + 1}"`} G="4"><TLG A="${log}" C="1"/></TSK>`,
  );
  const crops = crop === '' ? '' : `<CTP A="CTP1" B="${crop}"/>`;
  return `<?xml version="1.0" encoding="UTF-8"?>
<ISO11783_TaskData VersionMajor="${version[0]}" VersionMinor="${version[1]}" DataTransferOrigin="2">
${crops}${fields.join('')}${devices}${list.join('\n')}
</ISO11783_TaskData>`;
}

/** The one bundle that the files make, as a folder dropped. */
export function taskBundle(files: Readonly<Record<string, string | Uint8Array>>, chunkBytes = 100): Bundle {
  const bundles = groupIntoBundles(Object.entries(files).map(([name, content]) => sourceOf(name, content, chunkBytes)));
  if (bundles.length !== 1) throw new Error(`taskBundle: ${bundles.length} bundles`);
  return bundles[0]!;
}

/** Mass a time, moisture, width, work state: what a combine logs. */
export const COMBINE_VALUES: readonly MadeValue[] = [
  ['0057', 'DET-1'],
  ['0063', 'DET-1'],
  ['0043', 'DET-2'],
  ['008D', 'DET-1'],
];

/** Going north at 2 m/s, a record a second, 8.5 kg/s at 17.5 % on 9 m, logged once and held. */
export function combineRecords(count: number, from: Partial<MadeRecord> = {}): MadeRecord[] {
  return Array.from({ length: count }, (_, i) => ({
    ms: (from.ms ?? 50_000_000) + i * 1000,
    day: from.day ?? DAY,
    lat: (from.lat ?? 43.9) + i * 1.8e-5,
    lon: from.lon ?? -93.97,
    ...(i === 0 ? { values: from.values ?? { 0: 8_500_000, 1: 175_000, 2: 9000, 3: 1 } } : {}),
  }));
}

export const SMALL_SET: Readonly<Record<string, string | Uint8Array>> = {
  'TASKDATA.XML': taskFile([{ log: 'TLG00001', field: 'West' }], { crop: 'Corn' }),
  'TLG00001.XML': headerXml(COMBINE_VALUES),
  'TLG00001.BIN': recordBytes(combineRecords(40)),
};
