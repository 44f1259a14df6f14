/** Ground that was looked at, as it is typed: an area, or a length of row at its spacing. */
import type { Display } from '../../../shared/units/format.ts';
import { neededNumber, type NumberRule } from '../../../shared/units/typed-number.ts';
import type { Reading } from '../../ui/draft.ts';

export interface GroundDraft {
  ground: 'area' | 'row';
  area: string;
  rowLength: string;
  rowSpacing: string;
}

export const GROUND_CHOICES: readonly { id: GroundDraft['ground']; name: string }[] = [
  { id: 'area', name: 'an area' },
  { id: 'row', name: 'a length of row' },
];

const LARGEST_LOOK_M2 = 1e6;

export function groundRules(display: Display): Record<'area' | 'rowLength' | 'rowSpacing', NumberRule> {
  const us = display === 'us';
  const largest = us ? LARGEST_LOOK_M2 / 0.3048 ** 2 : LARGEST_LOOK_M2;
  return {
    area: { what: 'Area looked at', unit: us ? 'ft2' : 'm2', least: 0, most: Math.round(largest), above: true },
    rowLength: { what: 'Length of row', unit: us ? 'ft' : 'm', least: 0, most: us ? 30_000 : 10_000, above: true },
    rowSpacing: { what: 'Row spacing', unit: us ? 'in' : 'cm', least: us ? 4 : 10, most: us ? 80 : 200 },
  };
}

export interface GroundLookedAt {
  readonly effortM2: number;
  readonly alongRow?: { readonly lengthM: number; readonly spacingM: number };
}

/** Null once what is wrong with it was noted. */
export function readGround<Draft extends GroundDraft>(
  draft: GroundDraft,
  display: Display,
  reading: Reading<Draft>,
): GroundLookedAt | null {
  const rules = groundRules(display);
  if (draft.ground === 'area') {
    const effortM2 = reading.take('area', neededNumber(draft.area, rules.area));
    return effortM2 === undefined ? null : { effortM2 };
  }
  const lengthM = reading.take('rowLength', neededNumber(draft.rowLength, rules.rowLength));
  const spacingM = reading.take('rowSpacing', neededNumber(draft.rowSpacing, rules.rowSpacing));
  return lengthM === undefined || spacingM === undefined
    ? null
    : { effortM2: lengthM * spacingM, alongRow: { lengthM, spacingM } };
}
