import { describe, expect, it } from 'vitest';
import { csvText, type Table } from '../../../../shared/export/csv.ts';
import type { Product } from '../../../../shared/model/farm.ts';
import { handOff, type HandOffInput } from '../../../../shared/zones/hand-off.ts';
import { orderTable, zonesTable } from '../../../../src/places/hand-off/order-tables.ts';

const liquid = (id: string, ingredient: string, group: string): Product => ({
  id,
  name: id,
  parts: [{ ingredient, group, gPerUnit: 900 }],
  form: 'liquid',
  unit: 'L/ha',
  label: { full: 1.5 },
});

const input: HandOffInput = {
  display: 'metric',
  field: 'west',
  crop: 'soybean',
  tolerates: ['S-metolachlor', 'metribuzin'],
  rates: [
    { product: liquid('Residual', 'S-metolachlor', '15'), ratePerArea: 1.2, unit: 'L/ha' },
    { product: liquid('Partner', 'metribuzin', '5'), ratePerArea: 0.5, unit: 'L/ha' },
  ],
  carrierLHa: 150,
  tankL: 1000,
  sectionM: null,
  zones: [
    { id: 'A', areaM2: 60_000 },
    { id: 'B', areaM2: 40_000 },
  ],
  outside: { areaM2: 100_000, fraction: 0.5 },
  positionLost: 'nothing',
  alreadyThisSeason: {},
  neighbors: [],
};

function made(change: Partial<HandOffInput> = {}) {
  const outcome = handOff({ ...input, ...change });
  if (!outcome.ok) throw new Error(outcome.problems.map((one) => one.text).join(' '));
  return outcome.value;
}
const rowsOf = <Row>(table: Table<Row>) =>
  csvText(table)
    .trimEnd()
    .split('\r\n')
    .map((line) => line.split(','));
const place = { field: 'West', season: 2027 };
const LAW = 'The product label is the law: rates as typed from it';

describe('a hand-off as a table', () => {
  it('has a row for each zone and product, and the ground outside at its share of the rate', () => {
    const [header, ...rows] = rowsOf(zonesTable(made(), place, 'metric'));
    expect(header!.join()).toBe(
      'Field,Season,Crop,Zone,Area (ha),Product,Ingredients,Rate,Unit of the rate,Amount,Unit of the amount,Caution',
    );
    const head = ['West', '2027', 'soybean'];
    expect(rows).toEqual([
      [...head, 'A', '6', 'Residual', 'S-metolachlor (group 15)', '1.2', 'L/ha', '7.2', 'L', LAW],
      [...head, 'B', '4', 'Residual', 'S-metolachlor (group 15)', '1.2', 'L/ha', '4.8', 'L', LAW],
      [...head, 'outside', '10', 'Residual', 'S-metolachlor (group 15)', '0.6', 'L/ha', '6', 'L', LAW],
      [...head, 'A', '6', 'Partner', 'metribuzin (group 5)', '0.5', 'L/ha', '3', 'L', LAW],
      [...head, 'B', '4', 'Partner', 'metribuzin (group 5)', '0.5', 'L/ha', '2', 'L', LAW],
      [...head, 'outside', '10', 'Partner', 'metribuzin (group 5)', '0.25', 'L/ha', '2.5', 'L', LAW],
    ]);
  });

  it('leaves the ground outside away where nothing goes there', () => {
    const order = made({ outside: { areaM2: 100_000, fraction: 0 } });
    expect(zonesTable(order, place, 'metric').rows.map((row) => row.zone)).toEqual(['A', 'B', 'A', 'B']);
  });

  it('has a row for each product, with its share of the label rate, its total and its loads', () => {
    const [header, residual, partner] = rowsOf(orderTable(made(), place, 'metric'));
    const told = (row: string[]) => Object.fromEntries(header!.map((title, at) => [title, row[at]]));
    // 10 ha, and 10 ha at half of the rate: 15 ha of 1.2 L and of 150 L: 2,250 L from a tank of 1,000 L.
    expect(told(residual!)).toMatchObject({
      Product: 'Residual',
      Rate: '1.2',
      'Share of the full label rate (%)': '80',
      'In all': '18',
      'Spray in all (L)': '2250',
      Caution: LAW,
    });
    const { loads } = made();
    expect(told(residual!)['Tank loads']).toBe(String(loads!.count));
    const perLoad = (row: Record<string, string | undefined>) =>
      (loads!.count - 1) * Number(row['In a full load']) + Number(row['In the last load']);
    expect(perLoad(told(residual!))).toBeCloseTo(18, 3);
    expect(perLoad(told(partner!))).toBeCloseTo(7.5, 3);
  });

  it('leaves loads empty where tank or volume are not told', () => {
    const [header, residual] = rowsOf(orderTable(made({ tankL: null }), place, 'metric'));
    for (const title of ['In a full load', 'In the last load', 'Tank loads', 'Last load (L)'])
      expect([title, residual![header!.indexOf(title)]]).toEqual([title, '']);
  });
});
