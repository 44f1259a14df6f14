import { describe, expect, it } from 'vitest';
import { csvText } from '../../../shared/export/csv.ts';
import { followedCells, followedCellsTable, traceTable } from '../../../shared/hand-over/trace-table.ts';
import { UNKNOWN_RANGE } from '../../../shared/model/range.ts';

const head = {
  fieldName: 'West',
  season: 2026,
  ground: 'Within 60 ft of 42.00054, -93.49927',
  asked: 'where its seed came from',
  notes: ['Assumed path: no log of West.', 'Nobody has measured it.'],
};

describe('followed seed as a table', () => {
  it('says of each row what it is of, in the units of the farm, and what it rests on', () => {
    const rows = [
      {
        is: 'part',
        words: 'Grew on this ground itself',
        field: null,
        withinM: null,
        share: { low: 0.2, central: 0.4, high: 0.6 },
        seeds: { low: 2, central: 4, high: 6 },
      },
      {
        is: 'by distance',
        words: 'Grew so near',
        field: null,
        withinM: 30.48,
        share: UNKNOWN_RANGE,
        seeds: UNKNOWN_RANGE,
      },
    ];
    const [title, part, near] = csvText(traceTable(rows, head, 'us')).split('\r\n');
    expect(title).toContain('Within (ft),"Share, least (%)","Share, most likely (%)"');
    expect(part).toContain('part,Grew on this ground itself,,,20,40,60,2,4,6,');
    expect(part).toContain('Assumed path: no log of West. Nobody has measured it.');
    expect(near).toContain('by distance,Grew so near,,100,,,,,,,');
  });

  it('gives each cell that holds any its place, and leaves out those that hold none or lie outside', () => {
    const grid = { x0M: 0, y0M: 0, columns: 2, rows: 2, cellM: 10 };
    const cells = followedCells([-93.5, 42], grid, [0, 3, NaN, 1]);
    expect(cells.map((one) => one.seedsPerM2)).toEqual([3, 1]);
    const [title, first, second, end] = csvText(followedCellsTable(cells, 'Grew here', 'metric')).split('\r\n');
    expect(title).toBe('Latitude,Longitude,"Grew here, most likely: seeds (per m²)"');
    expect(first).toMatch(/^42\.00004\d+,-93\.4998\d+,3$/);
    expect(second).toMatch(/^42\.00013\d+,-93\.4998\d+,1$/);
    expect(end).toBe('');
  });
});
