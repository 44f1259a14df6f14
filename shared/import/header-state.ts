/** Header down or up, from words, figures or a height with a limit. */
import { listed } from './columns.ts';

const DOWN = [
  'down',
  'd',
  '1',
  'true',
  'yes',
  'y',
  'on',
  'in',
  'working',
  'work',
  'cutting',
  'lowered',
  'harvest',
  'harvesting',
  'active',
  'engaged',
];
const UP = [
  'up',
  'u',
  '0',
  'false',
  'no',
  'n',
  'off',
  'out',
  'idle',
  'raised',
  'notworking',
  'lifted',
  'transport',
  'inactive',
  'disengaged',
  'turning',
];

/** 1 down, 0 up, null where the word says neither. */
export function headerDownOf(text: string): 0 | 1 | null {
  const word = text
    .toLowerCase()
    .replace(/[\s_-]/g, '')
    .replace(/\.0+$/, '');
  if (DOWN.includes(word)) return 1;
  if (UP.includes(word)) return 0;
  return null;
}

/** What a column's words mean: "In" down; "Out" up; or that they mean nothing known. */
export function explainStates(texts: readonly string[]): { usable: boolean; because: string } {
  const distinct = [...new Set(texts.filter((text) => text !== ''))];
  const down = distinct.filter((text) => headerDownOf(text) === 1);
  const up = distinct.filter((text) => headerDownOf(text) === 0);
  const usable = down.length + up.length > 0 && down.length + up.length >= distinct.length / 2;
  const parts = [...(down.length ? [`${listed(down)} down`] : []), ...(up.length ? [`${listed(up)} up`] : [])];
  return {
    usable,
    because: usable ? `${parts.join(', ')}` : `values like ${listed(distinct.slice(0, 5))} are neither up nor down`,
  };
}
