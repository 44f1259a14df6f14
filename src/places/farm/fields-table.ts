/** The fields in their order as a table for a spreadsheet. */
import { quantityColumn, rangeColumns, type Table } from '../../../shared/export/csv.ts';
import type { FieldStudy, Study } from '../../../shared/analysis/study.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { shownUnit } from '../../../shared/units/format.ts';
import { rankedOf, TIERS, unlookedOf } from './standing.ts';

export function fieldsTable(study: Study, { display }: Farm): Table<FieldStudy> {
  const area = shownUnit('area', display);
  const perArea = shownUnit('money per area', display);
  return {
    columns: [
      { title: 'Rank', of: (row) => row.rank },
      { title: 'Rank by this year’s yield loss', of: (row) => row.rankByThisYear },
      { title: 'Field', of: (row) => row.name },
      { title: 'Tier', of: (row) => TIERS.find((one) => one.tier === row.tier)?.title ?? 'Nobody looked' },
      { title: 'Why', of: (row) => row.why },
      { title: 'Rests on', of: (row) => row.evidenceIs },
      quantityColumn<FieldStudy>('Area', area, (row) => row.areaM2),
      ...rangeColumns<FieldStudy>('Weed above the threshold', area, (row) => row.infestedAreaM2),
      ...rangeColumns<FieldStudy>('Yield lost this year', 'money', (row) => row.yieldLossMoney),
      ...rangeColumns<FieldStudy>('Cost of doing nothing new', perArea, (row) => row.stakePerHa),
    ],
    rows: [...rankedOf(study.fields), ...unlookedOf(study.fields)],
  };
}
