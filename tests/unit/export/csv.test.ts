import { describe, expect, it } from 'vitest';
import { type Cell, csvText, quantityColumn, rangeColumns, type TableColumn } from '../../../shared/export/csv.ts';
import { UNKNOWN_RANGE } from '../../../shared/model/range.ts';

const columns: readonly TableColumn<Record<string, Cell>>[] = [
  { title: 'Field', of: (row) => row['field'] ?? null },
  { title: 'Said', of: (row) => row['said'] ?? null },
];
const one = (said: Cell) => csvText({ columns, rows: [{ field: 'Home', said }] }).split('\r\n')[1]!;

describe('a table as CSV', () => {
  it('refuses a number that is not finite: what is not known is an empty cell', () => {
    expect(() => one(NaN)).toThrow(/finite/);
    expect(one(null)).toBe('Home,');
  });

  it('has its header and one line a row, each ended by CR LF, also without rows', () => {
    expect(csvText({ columns, rows: [] })).toBe('Field,Said\r\n');
    expect(csvText({ columns, rows: [{ field: 'Home', said: 3.5 }] })).toBe('Field,Said\r\nHome,3.5\r\n');
  });

  it('quotes what holds a comma, a quote, a line break or an outer blank, and nothing else', () => {
    expect(one('a, b')).toBe('Home,"a, b"');
    expect(one('6" tall')).toBe('Home,"6"" tall"');
    expect(one('two\nlines')).toBe('Home,"two\nlines"');
    expect(one(' blank')).toBe('Home," blank"');
    expect(one('plain words')).toBe('Home,plain words');
  });

  it('lets no spreadsheet run a text as a formula, and leaves negative numbers alone', () => {
    for (const text of ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1']) expect(one(text)).toMatch(/^Home,"?'/);
    expect(one(-1.25)).toBe('Home,-1.25');
  });

  it('read by another reader gives back the cells', async () => {
    type Reader = { parse(text: string): { data: string[][] } };
    const { default: papa } = (await import('papaparse' as string)) as { default: Reader };
    const said = ['a, b', '6" tall', 'two\r\nlines', ' x ', 'ä ² —', ''];
    const text = csvText({ columns, rows: said.map((it) => ({ field: 'Home', said: it })) });
    const { data } = papa.parse(text);
    expect(data.slice(1, -1).map((row) => row[1])).toEqual(said);
  });

  it('writes a quantity in its unit, which the header names', () => {
    const area = quantityColumn<number>('Area', 'ac', (areaM2) => areaM2);
    expect([area.title, area.of(40_468.564_224)]).toEqual(['Area (ac)', 10]);
    expect(quantityColumn<number>('Density', 'per m2', (it) => it).title).toBe('Density (per m²)');
    expect(quantityColumn<number>('Share', '%', (it) => it).of(0.125)).toBe(12.5);
  });

  it('writes a range as three columns, empty where it cannot be told', () => {
    const cost = rangeColumns<number>('Cost', 'money/ha', (n) =>
      n === 0 ? UNKNOWN_RANGE : { low: n, central: 2 * n, high: 3 * n },
    );
    expect(cost.map((it) => it.title)).toEqual(['Cost, least ($/ha)', 'Cost, most likely ($/ha)', 'Cost, most ($/ha)']);
    expect(cost.map((it) => it.of(2))).toEqual([2, 4, 6]);
    expect(cost.map((it) => it.of(0))).toEqual([null, null, null]);
  });
});
