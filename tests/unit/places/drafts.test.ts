/** What a person types of a field: taken whole, or refused at its entry in the person's own unit. */
import { describe, expect, it } from 'vitest';
import { type CountDraft, readCount } from '../../../src/places/farm/sheet/count-draft.ts';
import { type CropDraft, cropDraft, readCrop } from '../../../src/places/farm/sheet/crop-draft.ts';
import { readSpraying } from '../../../src/places/farm/sheet/spray-draft.ts';
import { closeTo } from '../../support/close-to.ts';
import { placeIn } from '../../support/small-farm.ts';
import { twoFieldFarm } from '../../support/two-field-farm.ts';

const field = twoFieldFarm().fields[0]!;
const count: CountDraft = {
  count: '12',
  ground: 'area',
  area: '10',
  rowLength: '',
  rowSpacing: '',
  where: 'map',
  picked: placeIn('West', 60, 60),
  lat: '',
  lon: '',
  east: '',
  north: '',
  species: 'waterhemp',
  on: '2026-07-04',
};
const because = 'a foot is 0.3048 m by definition';

describe('a count as it is typed', () => {
  it('outside of its field, without a day or with nonsense is refused at each entry', () => {
    const read = readCount(
      { ...count, count: 'many', area: '0', on: '', picked: placeIn('West', -30, 60) },
      field,
      'metric',
    );
    expect('wrong' in read && read.wrong).toEqual({
      count: 'Plants counted is a whole number: 12, 0 for none, 50+ for at least 50.',
      area: 'Area looked at is above 0 and at most 1,000,000 m². It cannot be 0.',
      on: 'Say the day on which it was counted.',
      picked: 'This place is not in West: it lies 30.0 m outside.',
    });
    const far = readCount({ ...count, where: 'degrees', lat: '41', lon: '95' }, field, 'us');
    expect('wrong' in far && far.wrong.lat).toBe('This place is not in West: it lies far outside.');
  });

  it('on an area takes square feet from a US grower, and zero is a count', () => {
    const read = readCount({ ...count, count: '0' }, field, 'us');
    expect('value' in read && read.value.count).toBe(0);
    closeTo('value' in read ? read.value.effortM2 : NaN, 0.929, { within: 1e-3, because });
  });

  it('along a row is over its length times the row spacing, and may be a lower bound', () => {
    const row = { ...count, ground: 'row', rowLength: '10', rowSpacing: '30', count: '50+' } as const;
    const read = readCount(row, field, 'us');
    expect('value' in read && read.value.count).toEqual({ atLeast: 50 });
    closeTo('value' in read ? read.value.effortM2 : NaN, 3.048 * 0.762, { within: 1e-9, because });
  });

  it('can be paced off from the south-west corner of the field', () => {
    const read = readCount({ ...count, where: 'field', east: '60', north: '30' }, field, 'metric');
    const at = 'value' in read ? read.value.at : [NaN, NaN];
    const wanted = placeIn('West', 60, 30);
    closeTo(at[0]!, wanted[0], { within: 1e-8, because: 'both frames agree to a millimeter' });
    closeTo(at[1]!, wanted[1], { within: 1e-8, because: 'both frames agree to a millimeter' });
  });
});

describe('what was planted, as it is typed', () => {
  const soybean: CropDraft = {
    ...cropDraft(null, 'us'),
    plantedOn: '2026-05-09',
    rowSpacing: '15',
    expectedYield: '55',
  };

  it('is refused where a day or a row spacing cannot be', () => {
    const read = readCrop({ ...soybean, plantedOn: '2025-05-09', rowSpacing: '300' }, 'west', 2026, 'us', null);
    expect('wrong' in read && Object.keys(read.wrong).sort()).toEqual(['plantedOn', 'rowSpacing']);
    const stated = readCrop({ ...soybean, stated: 'stated' }, 'west', 2026, 'us', null);
    expect('wrong' in stated && stated.wrong.tolerates).toMatch(/at least one/);
  });

  it('keeps "not stated" honest, and bushels become kilograms a hectare', () => {
    const read = readCrop(soybean, 'west', 2026, 'us', null);
    if (!('value' in read)) throw new Error('refused');
    expect([read.value.tolerates, read.value.plantedOn]).toEqual(['not stated', '2026-05-09']);
    closeTo(read.value.expectedYieldKgHa!, 3698.9, { within: 0.5, because: '60 lb a bushel, an acre is 0.40469 ha' });
    const tolerant = readCrop(
      { ...soybean, stated: 'stated', tolerates: 'S-metolachlor; group 15' },
      'west',
      2026,
      'us',
      null,
    );
    expect('value' in tolerant && tolerant.value.tolerates).toEqual(['S-metolachlor', 'group 15']);
    const none = readCrop({ ...soybean, stated: 'stated', tolerates: 'none' }, 'west', 2026, 'us', null);
    expect('value' in none && none.value.tolerates).toEqual([]);
  });

  it('shown again and taken again changes nothing', () => {
    const first = readCrop(soybean, 'west', 2026, 'us', null);
    const crop = 'value' in first ? { ...first.value, matureOn: '2026-09-15' } : null;
    const again = readCrop(cropDraft(crop, 'us'), 'west', 2026, 'us', crop);
    expect('value' in again && again.value.matureOn).toBe('2026-09-15');
    expect('value' in again && again.value.rowSpacingM).toBe(crop!.rowSpacingM);
  });
});

describe('a spraying as it is typed', () => {
  it('of another season, without an ingredient or at nonsense is refused', () => {
    const read = readSpraying({ ingredient: ' ', on: '2025-05-01', rate: '900' }, 'west', 2026);
    expect('wrong' in read && Object.keys(read.wrong).sort()).toEqual(['ingredient', 'on', 'rate']);
  });

  it('is a share of the full label rate', () => {
    const read = readSpraying({ ingredient: 'S-metolachlor', on: '2026-05-10', rate: '50' }, 'west', 2026);
    expect('value' in read && read.value.parts).toEqual([{ ingredient: 'S-metolachlor', rateFraction: 0.5 }]);
  });
});
