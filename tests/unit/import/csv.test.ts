import { describe, expect, test } from 'vitest';
import { openTable } from '../../../shared/import/csv.ts';
import type { Table } from '../../../shared/import/csv.ts';
import { bundleOf, codes, told } from '../../support/import-text.ts';

function open(text: string | Uint8Array, portion?: number) {
  const bytes = typeof text === 'string' ? new TextEncoder().encode(text) : text;
  return openTable(bundleOf('table.csv', bytes, portion).parts[0]!);
}
function tableOf(text: string | Uint8Array, portion?: number): Table {
  const opened = open(text, portion);
  if (!opened.ok) throw new Error(opened.problems[0]!.text);
  return opened.value;
}
function rowsOf(table: Table): { line: number; cells: string[] }[] {
  const rows = [];
  for (const { cells } of table.blocks()) {
    for (let row = 0; row < cells.rows; row++) {
      rows.push({
        line: cells.line(row),
        cells: Array.from({ length: cells.width(row) }, (_, column) => cells.text(row, column)),
      });
    }
  }
  return rows;
}
function numbersOf(table: Table): number[][] {
  const rows = [];
  for (const { cells } of table.blocks()) {
    for (let row = 0; row < cells.rows; row++)
      rows.push(Array.from({ length: cells.width(row) }, (_, column) => cells.number(row, column)));
  }
  return rows;
}

describe('what is refused', () => {
  test('an empty file says that it is empty', () => {
    const opened = open('');
    expect(opened.ok).toBe(false);
    expect(codes(opened)).toEqual(['file-empty']);
  });
  test('a file of blank lines and a page of prose are no tables', () => {
    expect(codes(open('\n\n  \n'))).toEqual(['no-table']);
    expect(told(open('Dear neighbor\nthe weeds are bad\nthis year\n'), 'no-table').text).toContain('Dear neighbor');
  });
  test('bytes that are no text are refused', () => {
    expect(codes(open(new Uint8Array([1, 2, 0, 4, 5, 0])))).toEqual(['not-text']);
  });
  test('a quotation mark that is never closed does not swallow 16 MB in silence', () => {
    const line = `${'x'.repeat(999)}\n`;
    const table = tableOf(`a,b\n1,2\n3,"open\n${line.repeat(18_000)}`, 1 << 20);
    const problems = [...table.blocks()].flatMap((block) => block.problems);
    expect(problems.some((one) => one.code === 'line-without-end' && one.level === 'error')).toBe(true);
  });
});

describe('the smallest case', () => {
  test('a header and one row without a line end', () => {
    const table = tableOf('a,b\n1,x');
    expect(table.header).toEqual(['a', 'b']);
    expect(rowsOf(table)).toEqual([{ line: 2, cells: ['1', 'x'] }]);
    expect(numbersOf(table)).toEqual([[1, NaN]]);
  });
  test('a header without rows has no rows', () => {
    expect(rowsOf(tableOf('a,b\n'))).toEqual([]);
    expect(rowsOf(tableOf('a,b'))).toEqual([]);
  });
});

describe('laws', () => {
  const text = `t,lon,note\n${Array.from({ length: 5000 }, (_, i) => `${i},${(i * 0.001).toFixed(3)},${i % 7 === 0 ? `"a ""quoted"", one\nof ${i}"` : `n${i}`}`).join('\n')}\n`;
  test('the size of the portions changes nothing', () => {
    const whole = rowsOf(tableOf(text));
    expect(whole).toHaveLength(5000);
    for (const portion of [1, 7, 4096, 1 << 22]) expect(rowsOf(tableOf(text, portion))).toEqual(whole);
  });
  test('line ends of Windows, Unix and old Macs give the same cells', () => {
    const plain = 'a,b\n1,"x"\n\n3,y\n';
    const unix = rowsOf(tableOf(plain)).map((row) => row.cells);
    expect(unix).toEqual([
      ['1', 'x'],
      ['3', 'y'],
    ]);
    expect(rowsOf(tableOf(plain.replace(/\n/g, '\r\n'))).map((row) => row.cells)).toEqual(unix);
    expect(rowsOf(tableOf(plain.replace(/\n/g, '\r'))).map((row) => row.cells)).toEqual(unix);
  });
  test('blocks cut through quoted cells with line ends keep every row and its line', () => {
    const long = `a,b\n${Array.from({ length: 60_000 }, (_, i) => `${i},"line one of ${i}\nline two, with comma"`).join('\n')}\n`;
    const rows = rowsOf(tableOf(long, 10_000));
    expect(rows).toHaveLength(60_000);
    expect(rows[59_999]).toEqual({ line: 2 + 2 * 59_999, cells: ['59999', 'line one of 59999\nline two, with comma'] });
  });
  test('the quick scanner and the full parser give the same cells and numbers', () => {
    const body = Array.from({ length: 300 }, (_, i) => `${i},-${i}.25,"q${i}",,1e-${i % 5}`).join('\n');
    const quick = tableOf(`a,b,c,d,e\n${body}\n`);
    const full = tableOf(`a,b,c,d,e\n${body}\n0,0,"a ""b""",,0\n`);
    expect(numbersOf(full).slice(0, 300)).toEqual(numbersOf(quick));
    expect(rowsOf(full).slice(0, 300)).toEqual(rowsOf(quick));
  });
});

describe('how the table is written', () => {
  test('semicolons with decimal commas are found and told', () => {
    const opened = open('Zeit;Wert;Ort\r\n1;2,5;a\r\n2;-3,75;b\r\n');
    expect(codes(opened)).toEqual(expect.arrayContaining(['separator', 'decimal-comma']));
    expect(opened.ok && numbersOf(opened.value).map((row) => row[1])).toEqual([2.5, -3.75]);
  });
  test('commas that could part thousands are a warning', () => {
    const opened = open('a;b\n1;1,240\n2;3,500\n');
    expect(told(opened, 'decimal-comma').level).toBe('warning');
  });
  test('tabs and bars separate too', () => {
    expect(tableOf('a\tb\n1\t2\n').header).toEqual(['a', 'b']);
    expect(tableOf('a|b\n1|2\n').header).toEqual(['a', 'b']);
  });
  test('titles, comments and blank lines above the header are skipped and told, and lines still count from the top', () => {
    const opened = open('# made by hand\n\nHarvest 2026\ntime,flow\n1,2\n');
    expect(told(opened, 'lines-skipped').text).toContain('3 lines');
    expect(opened.ok && opened.value.header).toEqual(['time', 'flow']);
    expect(opened.ok && rowsOf(opened.value)).toEqual([{ line: 5, cells: ['1', '2'] }]);
  });
  test('a second row of units is no data', () => {
    const table = tableOf('time,flow,moisture\ns,lb/s,%\n1,2,3\n');
    expect(table.units).toEqual(['s', 'lb/s', '%']);
    expect(rowsOf(table)).toHaveLength(1);
  });
  test('a table without a header is told and its columns are numbered', () => {
    const opened = open('1,2\n3,4\n');
    expect(codes(opened)).toContain('no-header');
    expect(opened.ok && opened.value.header).toEqual(['column 1', 'column 2']);
    expect(opened.ok && rowsOf(opened.value)).toHaveLength(2);
  });
  test('a cell of 25 digits, an exponent and a cell with a letter are read as the language reads them', () => {
    const table = tableOf('a,b,c\n1234567890.123456789012345,-1.5e3,12x\n');
    expect(numbersOf(table)).toEqual([[1234567890.123456789012345, -1500, NaN]]);
  });
});

describe('encodings', () => {
  test('a UTF-8 mark is no part of the first name', () => {
    const table = tableOf('\uFEFFtime,ort\n1,Höfe\n');
    expect(table.header[0]).toBe('time');
    expect(rowsOf(table)[0]!.cells).toEqual(['1', 'Höfe']);
  });
  test('UTF-16 is read and told', () => {
    const text = 'a,b\n1,Höfe\n';
    const bytes = new Uint8Array(2 + text.length * 2);
    bytes.set([0xff, 0xfe]);
    for (let i = 0; i < text.length; i++) bytes.set([text.charCodeAt(i) & 255, text.charCodeAt(i) >> 8], 2 + 2 * i);
    const opened = open(bytes, 5);
    expect(codes(opened)).toContain('utf-16');
    expect(opened.ok && rowsOf(opened.value)[0]!.cells).toEqual(['1', 'Höfe']);
  });
  test('bytes that are not UTF-8 are read as Latin-1, and that is told', () => {
    const bytes = Uint8Array.from([...'a,b\n1,H'].map((c) => c.charCodeAt(0)).concat([0xf6, 0x66, 0x65, 10]));
    const table = tableOf(bytes);
    const blocks = [...table.blocks()];
    expect(blocks[0]!.problems.map((one) => one.code)).toEqual(['not-utf8']);
    expect(rowsOf(table)[0]!.cells).toEqual(['1', 'Höfe']);
  });
  test('letters beyond ASCII do not shift the cells behind them', () => {
    expect(rowsOf(tableOf('a,b,c\nä🌾ö,2,é\n'))[0]!.cells).toEqual(['ä🌾ö', '2', 'é']);
  });
});

test('a stray quotation mark is told with its row', () => {
  const table = tableOf('a,b\n1,2\n"x"y,3\n4,5\n');
  const problems = [...table.blocks()].flatMap((block) => block.problems);
  expect(problems[0]).toMatchObject({ code: 'quotes', where: { row: 3 } });
});
