import { expect, test } from 'vitest';
import { together } from '../../../src/map/layers/markers.ts';

const mark = (lon: number, n: string, group?: string) => ({
  at: [lon, 40] as const,
  mark: n,
  words: `${group} ${n}`,
  ...(group === undefined ? {} : { group }),
});

test('from afar the stops of a field are one mark amid them with their number; what stands alone stays itself', () => {
  const alone = mark(-93, '1', 'East');
  const ungrouped = [mark(-92, 'A'), mark(-91, 'B')];
  const far = together([mark(-95, '1', 'West'), mark(-94, '2', 'West'), alone, ...ungrouped]);
  expect(far).toEqual([{ at: [-94.5, 40], mark: '2', words: 'West', stands: 2 }, alone, ...ungrouped]);
});
