/** A rating a field and species: none seen, few, patches, throughout, not looked. */
import { PIGWEED, speciesIdOf } from '../agronomy/species-names.ts';
import type { Rating, RatingRecords } from '../model/records.ts';
import { dateOf, dayText } from '../units/calendar.ts';
import { listed } from './columns.ts';
import type { WantedColumn } from './columns.ts';
import type { CellBlock } from './csv-cells.ts';
import { DATE_NAMES } from './harvest-log-columns.ts';
import type { Importer } from './importer.ts';
import { speciesColumns } from './species-columns.ts';
import { headTable, kindScore } from './table.ts';
import { readTableRows, words } from './table-reading.ts';
import type { Lack, RowTaker, TableReading } from './table-reading.ts';

export const FIELD: WantedColumn = {
  id: 'field',
  title: 'the field',
  names: words('field fieldname fieldid paddock block fieldnumber'),
};

const WANTED: readonly WantedColumn[] = [
  FIELD,
  {
    id: 'species',
    title: 'the species',
    names: words('species weedspecies weed speciescode speciesname weedname eppo eppocode weedcode'),
  },
  {
    id: 'rating',
    title: 'the rating',
    names: words('rating weedrating infestation weedpressure weedlevel'),
    parts: ['rating'],
  },
  { id: 'date', title: 'the date', names: DATE_NAMES },
];

const SYNONYMS: Readonly<Record<Rating, readonly string[]>> = {
  'not looked': words('notlooked notscouted notseen unknown nodata notvisited notchecked ns na unscouted'),
  'none seen': words('noneseen none 0 clean nothing no noweeds absent nonefound notfound zero free'),
  few: words('few light low scattered single singles afew some sparse occasional'),
  patches: words('patches patchy patch medium moderate spots clumps inpatches'),
  throughout: words('throughout heavy everywhere severe high widespread dense allover wholefield'),
};
const RATING_OF: ReadonlyMap<string, Rating> = new Map(
  (Object.entries(SYNONYMS) as [Rating, readonly string[]][]).flatMap(([rating, names]) =>
    names.map((name) => [name, rating] as const),
  ),
);

/** The rating that a word means; blank is *not looked*; null where it means none of the five. */
export function ratingOf(text: string): Rating | null {
  const word = text.toLowerCase().replace(/[^a-z0-9]/g, '');
  return word === '' ? 'not looked' : (RATING_OF.get(word) ?? null);
}

export const ratingsImporter: Importer = {
  id: 'ratings-table',
  title: 'Ratings of fields (CSV)',
  columns: () => WANTED,
  recognize(bundle, head) {
    const table = headTable(bundle, head);
    if (!table) return 0;
    const score = kindScore(table, WANTED, [['field'], ['rating']]);
    return table.header.some((name) => /^(lon|long|longitude)$/i.test(name)) ? Math.min(score, 0.4) : score;
  },
  *read(bundle, wishes) {
    return yield* readTableRows(this.id, 'ratings', bundle, wishes, WANTED, takeRatings);
  },
};

interface RatingColumn {
  readonly index: number;
  /** null: the species column says it. */
  readonly species: string | null;
}

function ratingColumns(reading: TableReading): RatingColumn[] | Lack {
  const { found } = reading;
  if (found['rating'] && found['species']) return [{ index: found['rating'].index, species: null }];
  if (found['rating'] && /pigweed|amaranth/i.test(found['rating'].column))
    return [{ index: found['rating'].index, species: speciesIdOf(found['rating'].column) ?? PIGWEED }];
  const wide = speciesColumns(reading);
  if (wide.length > 0) {
    reading.note('note', 'species-by-column', `One column a species: ${listed(wide.map(({ column }) => column))}.`);
    return wide;
  }
  if (!found['rating']) return { what: 'no column gives a rating' };
  return {
    what: 'no column gives the species',
    hint: 'Say the column, or one species for all: species = "=waterhemp", or "=pigweed" if pigweeds were not told apart.',
  };
}

function takeRatings(reading: TableReading): RowTaker | Lack {
  if (!reading.found['field']) return { what: 'no column gives the field' };
  const columns = ratingColumns(reading);
  if ('what' in columns) return columns;
  const days = reading.day('date');
  const ratings: RatingRecords['ratings'][number][] = [];
  const take = (cells: CellBlock, row: number): boolean => {
    const fieldName = reading.text(cells, row, 'field');
    if (fieldName === '') {
      reading.tell(
        'warning',
        'field-missing',
        'the field is missing; the row is not used',
        cells,
        row,
        reading.found['field'],
      );
      return false;
    }
    const day = days ? days.read(cells, row) : null;
    if (day !== null && reading.wishes.season !== undefined && dateOf(day).year !== reading.wishes.season) {
      reading.tell(
        'warning',
        'date-out-of-season',
        `${dayText(day)} is not in the season ${reading.wishes.season}`,
        cells,
        row,
        reading.found['date'],
      );
    }
    let used = false;
    for (const column of columns) {
      const species = column.species ?? speciesIdOf(reading.text(cells, row, 'species'));
      if (species === null) {
        reading.tell(
          'warning',
          'species-unknown',
          `the species "${reading.text(cells, row, 'species').slice(0, 40)}" is not known here; the row is not used`,
          cells,
          row,
          reading.found['species'],
        );
        continue;
      }
      const text = cells.text(row, column.index);
      const rating = ratingOf(text);
      if (rating === null) {
        reading.tell(
          'error',
          'rating-unknown',
          `"${text.slice(0, 40)}" is no rating; it is not used`,
          cells,
          row,
          reading.found['rating'],
          'Write not looked, none seen, few, patches or throughout.',
        );
        continue;
      }
      ratings.push({ fieldName, species, rating, on: day === null ? null : dayText(day), row: cells.line(row) });
      used = true;
    }
    return used;
  };
  return { take, finish: () => (ratings.length === 0 ? null : { kind: 'ratings', ratings }) };
}
