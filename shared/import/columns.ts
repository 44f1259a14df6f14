/**
 * Which column of a table is which quantity and in which unit, with the reason in words. Names decide first (many spellings, cut
 * off after ten letters, units in brackets or as an ending), then values; what a person says goes over both.
 */
import { problem } from '../model/problem.ts';
import type { Problem } from '../model/problem.ts';
import type { ColumnReading } from '../model/records.ts';
import { UNITS } from '../units/units.ts';
import type { Quantity, UnitId } from '../units/units.ts';
import { fewListed } from '../units/words.ts';
import { fit, partsOf, unitInName } from './column-names.ts';
import type { Table } from './csv.ts';
import type { ReadingWishes } from './importer.ts';
import { numberOf } from './number-text.ts';
import { unitOfWord } from './unit-words.ts';
import type { UnitWord } from './unit-words.ts';

/** A quantity that a kind of file can hold. */
export interface WantedColumn {
  readonly id: string;
  /** In words: "moisture". */
  readonly title: string;
  /** Spellings without blanks and signs, best first. */
  readonly names: readonly string[];
  /** Parts of a name that also do, from five letters on. */
  readonly parts?: readonly string[];
  readonly quantity?: Quantity;
  /** The unit where neither name nor unit row nor person says it. */
  readonly unitFromValues?: (
    sample: ValueSample,
    units: UnitSystem,
  ) => { unit: UnitWord; because: string; sure: boolean };
}

export interface ValueSample {
  readonly count: number;
  readonly min: number;
  readonly median: number;
  readonly max: number;
}
/** Whether other columns of the file are in US customary units; null where nothing says so. */
export type UnitSystem = 'us' | 'metric' | null;

export interface FoundColumn {
  /** Place in the row; −1 for a constant that a person gave. */
  readonly index: number;
  /** One value for all rows, said by a person as "=0.25 m2". */
  readonly constant?: string;
  readonly column: string;
  readonly unit: UnitWord | null;
  readonly because: string;
  readonly by: 'guess' | 'person';
}
export type FoundColumns = Record<string, FoundColumn | undefined>;

const US_UNITS: ReadonlySet<string> = new Set<UnitWord>([
  'ft',
  'in',
  'yd',
  'mi',
  'lb',
  'lb/s',
  'lb/h',
  'mph',
  'ft/s',
  'lb/ac',
  'bu/ac',
  'bu/ac 56 lb',
  'bu/ac 60 lb',
  'F',
  'US ton',
  'US ton/h',
  'US ton/ac',
  'gal/ac',
  'ft2',
  'in2',
  'yd2',
  'ac',
]);
const METRIC_UNITS: ReadonlySet<string> = new Set<UnitWord>([
  'm',
  'cm',
  'kg',
  'kg/s',
  'kg/h',
  't/h',
  'm/s',
  'km/h',
  'kg/ha',
  't/ha',
  'q/ha',
  'C',
  'm2',
  'cm2',
  'ha',
  'mm',
]);

export function unitSystem(units: Iterable<UnitWord | null | undefined>): UnitSystem {
  let us = 0;
  let metric = 0;
  for (const unit of units) {
    if (unit && US_UNITS.has(unit)) us++;
    if (unit && METRIC_UNITS.has(unit)) metric++;
  }
  return us > metric ? 'us' : metric > us ? 'metric' : null;
}

/** The numbers of a column's first rows. Zeros are left out of the median where there are others. */
export function sampleOf(table: Table, index: number): ValueSample {
  const values: number[] = [];
  for (const row of table.sample) {
    const value = numberOf(row[index] ?? '', table.decimal);
    if (!Number.isNaN(value)) values.push(value);
  }
  values.sort((a, b) => a - b);
  const typical = values.filter((value) => value !== 0);
  const from = typical.length > 0 ? typical : values;
  return {
    count: values.length,
    min: values[0] ?? NaN,
    median: from[from.length >> 1] ?? NaN,
    max: values.at(-1) ?? NaN,
  };
}

/**
 * Gives each wanted quantity its best column, each column at most once.
 * @returns found columns by quantity, and what was doubtful or wrong in the wishes
 */
export function findColumns(
  wanted: readonly WantedColumn[],
  table: Table,
  wishes: ReadingWishes,
): { found: FoundColumns; problems: Problem[] } {
  const where = { file: table.name };
  const problems: Problem[] = [];
  const found: FoundColumns = {};
  const taken = new Set<number>();
  const names = table.header.map(partsOf);

  const refusedByPerson = new Set<string>();
  for (const one of wanted) {
    const wish = wishes.columns?.[one.id];
    if (wish === undefined) continue;
    refusedByPerson.add(one.id);
    if (wish === '' || wish === '-') continue;
    if (wish.startsWith('=') && !table.header.includes(wish)) {
      found[one.id] = constantColumn(wish, one);
      continue;
    }
    let index = table.header.indexOf(wish);
    if (index < 0) index = table.header.findIndex((name) => name.toLowerCase() === wish.toLowerCase());
    if (index < 0) {
      problems.push(
        problem(
          'error',
          'column-missing',
          `There is no column "${wish}" for ${one.title}; the file has ${listed(table.header)}.`,
          { where: { ...where, column: wish } },
        ),
      );
      continue;
    }
    taken.add(index);
    found[one.id] = {
      index,
      column: table.header[index]!,
      unit: unitInName(names[index]!, one),
      because: 'said by a person',
      by: 'person',
    };
  }

  const offers: { one: WantedColumn; index: number; score: number; unit: UnitWord | null }[] = [];
  for (const one of wanted) {
    if (refusedByPerson.has(one.id)) continue;
    names.forEach((name, index) => {
      const { score, unit } = fit(name, one);
      if (score > 0) offers.push({ one, index, score, unit });
    });
  }
  offers.sort((a, b) => b.score - a.score || a.index - b.index);
  const left = new Map<string, { name: string; score: number }[]>();
  for (const { one, index, score, unit } of offers) {
    if (taken.has(index)) continue;
    if (found[one.id]) {
      left.set(one.id, [...(left.get(one.id) ?? []), { name: table.header[index]!, score }]);
      continue;
    }
    taken.add(index);
    const column = table.header[index]!;
    const how =
      score >= 90
        ? `"${column}" means ${one.title}`
        : score > 50
          ? `"${column}" is ${one.title}, cut off`
          : `"${column}" sounds like ${one.title}`;
    found[one.id] = { index, column, unit: unitInName(names[index]!, one) ?? unit, because: how, by: 'guess' };
  }
  for (const one of wanted) {
    const chosen = found[one.id];
    const others = (left.get(one.id) ?? []).filter(
      ({ name, score }) => score > 50 && !Object.values(found).some((other) => other?.column === name),
    );
    if (chosen && others.length > 0) {
      problems.push(
        problem(
          'note',
          'two-columns',
          `${listed([chosen.column, ...others.map(({ name }) => name)])} could each be ${one.title}; "${chosen.column}" is taken.`,
          {
            where: { ...where, column: chosen.column },
            hint: 'Say which column it is if that is wrong.',
          },
        ),
      );
    }
  }
  settleUnits(wanted, table, wishes, found, problems);
  return { found, problems };
}

/** A value for all rows, and its unit behind it. */
function constantColumn(wish: string, one: WantedColumn): FoundColumn {
  const constant = wish.slice(1).trim();
  const because = 'one value for all rows, said by a person';
  const parts = one.quantity ? /^([\d.,+-]+)\s*(\D.*)?$/.exec(constant) : null;
  const unit = parts?.[2] && one.quantity ? unitOfWord(parts[2], one.quantity) : null;
  return { index: -1, constant: parts ? parts[1]! : constant, column: wish, unit, because, by: 'person' };
}

function settleUnits(
  wanted: readonly WantedColumn[],
  table: Table,
  wishes: ReadingWishes,
  found: FoundColumns,
  problems: Problem[],
): void {
  const settle = (one: WantedColumn, unit: UnitWord, because: string, by: 'guess' | 'person' = found[one.id]!.by) => {
    const was = found[one.id]!;
    found[one.id] = { ...was, unit, because: `${was.because}; ${because}`, by };
  };
  const present = wanted.filter((one) => one.quantity && found[one.id]);
  for (const one of present) {
    const was = found[one.id]!;
    const wish = wishes.units?.[one.id];
    if (wish !== undefined) {
      const unit = unitOfWord(wish, one.quantity!);
      if (unit) {
        settle(one, unit, `${unit} said by a person`, 'person');
        continue;
      }
      problems.push(
        problem('error', 'unit-unknown', `"${wish}" is no unit of ${one.title}.`, {
          where: { file: table.name, column: was.column },
          hint: `Known: ${unitsOf(one.quantity!).join(', ')}.`,
        }),
      );
    }
    const written = table.units?.[was.index];
    const fromRow = written ? unitOfWord(written, one.quantity!) : null;
    if (fromRow) settle(one, fromRow, `${fromRow} from the row of units`);
    else if (was.unit) settle(one, was.unit, `${was.unit} from its name`);
  }
  for (const one of present) {
    if (found[one.id]!.unit !== null || !one.unitFromValues) continue;
    const system = unitSystem(Object.values(found).map((column) => column?.unit));
    const sample = sampleOf(table, found[one.id]!.index);
    if (sample.count === 0) continue;
    const guess = one.unitFromValues(sample, system);
    settle(one, guess.unit, guess.because);
    if (!guess.sure) {
      problems.push(
        problem(
          'note',
          'unit-assumed',
          `No unit is given for ${one.title} ("${found[one.id]!.column}"): ${guess.unit} is assumed, ${guess.because}.`,
          {
            where: { file: table.name, column: found[one.id]!.column },
            hint: 'Say the unit if that is wrong.',
          },
        ),
      );
    }
  }
}

/** Every unit that a column of the quantity may be in. */
export function unitsOf(quantity: Quantity): UnitWord[] {
  const units: UnitWord[] = (Object.keys(UNITS) as UnitId[]).filter((id) => UNITS[id].quantity === quantity);
  return quantity === 'mass per area' ? ['bu/ac', ...units] : units;
}

/** "a", "b" and "c". */
export function listed(names: readonly string[]): string {
  return names.length === 0
    ? 'none'
    : fewListed(
        names.map((name) => `"${name}"`),
        40,
      );
}

export function readings(found: FoundColumns): Record<string, ColumnReading> {
  const all: Record<string, ColumnReading> = {};
  for (const [id, column] of Object.entries(found)) {
    if (!column) continue;
    const { because, by, unit } = column;
    all[id] = { column: column.column, ...(unit ? { unit } : {}), because, by };
  }
  return all;
}
