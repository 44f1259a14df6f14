import { describe, expect, test } from 'vitest';
import { findColumns } from '../../../shared/import/columns.ts';
import { openTable } from '../../../shared/import/csv.ts';
import { harvestLogColumns } from '../../../shared/import/harvest-log-columns.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { explainUnrelatedTable } from '../../../shared/import/table.ts';
import { isUnitText, unitOfWord } from '../../../shared/import/unit-words.ts';
import { UNITS } from '../../../shared/units/units.ts';
import { bundleOf } from '../../support/import-text.ts';

function columnsOf(header: string, row: string, wishes: ReadingWishes = {}) {
  const text = `${header}\n${Array.from({ length: 30 }, () => row).join('\n')}\n`;
  const opened = openTable(bundleOf('log.csv', new TextEncoder().encode(text)).parts[0]!);
  if (!opened.ok) throw new Error(opened.problems[0]!.text);
  return findColumns(harvestLogColumns(opened.value), opened.value, wishes);
}
const one = (header: string, value: string, id: string) => columnsOf(`other,${header}`, `a,${value}`).found[id];

describe('names and their units', () => {
  test.each([
    ['flow_lbs', '12', 'flow', 'lb/s'],
    ['Grain flow (lb/s)', '12', 'flow', 'lb/s'],
    ['flow_kg_s', '8', 'flow', 'kg/s'],
    ['FlowRate [t/h]', '30', 'flow', 't/h'],
    ['Moisture (%)', '17', 'moisture', '%'],
    ['moistur', '17', 'moisture', '%'],
    ['moisture_pct', '17', 'moisture', '%'],
    ['mois', '17', undefined, undefined],
    ['swth_w_in', '480', 'swath', 'in'],
    ['Swath Width(ft)', '30', 'swath', 'ft'],
    ['SWATHWIDTH', '12', 'swath', 'm'],
    ['swathWidthM', '9.1', 'swath', 'm'],
    ['speed_km_h', '6', 'speed', 'km/h'],
    ['Speed(mph)', '4', 'speed', 'mph'],
    ['speed_m_s', '2', 'speed', 'm/s'],
    ['hdng_dg', '180', 'heading', 'deg'],
    ['durtn_s', '1', 'duration', 's'],
    ['dist_in', '60', 'distance', 'in'],
    ['Yield (bu/ac)', '180', 'yield', 'bu/ac'],
    ['yield_kg_ha', '9000', 'yield', 'kg/ha'],
    ['yield_bu_ac', '180', 'yield', 'bu/ac'],
  ])('"%s" (values like %s) is %s in %s', (header, value, id, unit) => {
    if (id === undefined) expect(columnsOf(`other,${header}`, `a,${value}`).found['moisture']).toBeUndefined();
    else expect(one(header, value, id)).toMatchObject({ column: header, unit, by: 'guess' });
  });
  test('a second row of units is taken where names are silent', () => {
    const text = `lon,lat,time,flow,swath\n°,°,s,lb/s,ft\n${'-93.9,43.9,1,9,30\n'.repeat(5)}`;
    const opened = openTable(bundleOf('log.csv', new TextEncoder().encode(text)).parts[0]!);
    if (!opened.ok) throw new Error('no table');
    expect(findColumns(harvestLogColumns(opened.value), opened.value, {}).found).toMatchObject({
      flow: { unit: 'lb/s' },
      swath: { unit: 'ft' },
    });
  });
});

describe('values decide where names do not', () => {
  test('moisture of 100–400 is in tenths, below 1 a share', () => {
    expect(one('moisture', '174', 'moisture')!.unit).toBe('0.1 %');
    expect(one('moisture', '0.174', 'moisture')!.unit).toBe('fraction');
  });
  test('widths of 480 are inches, of 35 feet', () => {
    expect(one('swath', '480', 'swath')!.unit).toBe('in');
    expect(one('swath', '35', 'swath')!.unit).toBe('ft');
  });
  test('US units beside it make a bare flow pounds a second', () => {
    expect(columnsOf('flow,swath_ft,speed_mph', '12,30,4').found['flow']!.unit).toBe('lb/s');
  });
  test('distance is measured against the positions', () => {
    const rows = Array.from({ length: 30 }, (_, i) => `${i},-93.9,${(43.9 + i * 1.798e-5).toFixed(7)},6.56`).join('\n');
    const opened = openTable(
      bundleOf('log.csv', new TextEncoder().encode(`time,lon,lat,distance\n${rows}\n`)).parts[0]!,
    );
    if (!opened.ok) throw new Error('no table');
    const found = findColumns(harvestLogColumns(opened.value), opened.value, {}).found['distance'];
    expect(found).toMatchObject({ unit: 'ft' });
    expect(found!.because).toContain('0.305 m apart');
  });
  test('mass over volume tells the bushel', () => {
    expect(columnsOf('WetMass,YieldVol', '10080,180').found).toMatchObject({
      yield: { unit: 'lb/ac' },
      yieldVolume: { unit: 'bu/ac 56 lb' },
    });
  });
});

describe('doubt and wishes', () => {
  test('two columns for one quantity are told', () => {
    const { problems } = columnsOf('flow,massflow', '12,13');
    expect(problems.find((one) => one.code === 'two-columns')!.text).toContain('"flow" and "massflow"');
  });
  test('every guess has its reason, and a person goes over it', () => {
    const { found } = columnsOf('flow,massflow,moisture', '12,13,15', {
      columns: { flow: 'massflow' },
      units: { flow: 'lb/s' },
    });
    expect(found['flow']).toMatchObject({ column: 'massflow', unit: 'lb/s', by: 'person' });
    for (const column of Object.values(found)) expect(column!.because).not.toBe('');
  });
  test('a quantity can be said to be absent', () => {
    expect(columnsOf('flow,moisture', '12,15', { columns: { moisture: '-' } }).found['moisture']).toBeUndefined();
  });
  test('each column is taken at most once', () => {
    const { found } = columnsOf('time,date,lon,lat,x,y,flow,mass,yield', '1,2,3,4,5,6,7,8,9');
    const taken = Object.values(found).map((column) => column!.index);
    expect(new Set(taken).size).toBe(taken.length);
  });
});

test('a unit word means what the quantity needs', () => {
  expect(unitOfWord('lbs', 'mass')).toBe('lb');
  expect(unitOfWord('lbs', 'mass flow')).toBe('lb/s');
  expect(unitOfWord('m', 'time')).toBeNull();
  expect(unitOfWord('bu per acre', 'mass per area')).toBe('bu/ac');
  for (const id of Object.keys(UNITS)) expect(isUnitText(id)).toBe(true);
  for (const [id, { quantity }] of Object.entries(UNITS)) expect(unitOfWord(id, quantity)).toBe(id);
});

test('an unrelated table is told with its columns and what each kind would need', () => {
  const bytes = new TextEncoder().encode('item,price\nbolt,3\nnut,4\n');
  const told = explainUnrelatedTable(bundleOf('prices.csv', bytes), bytes);
  expect(told.text).toContain('"item" and "price"');
  for (const kind of ['harvest log', 'scouting', 'ratings', 'weather', 'crops', 'sprayings'])
    expect(told.hint).toContain(`${kind}: `);
});
