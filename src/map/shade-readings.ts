/** What a shade reads of every field, and the scales that color readings and cells alike. */
import type { Study } from '../../shared/analysis/study.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { cropOf } from '../../shared/model/lookups.ts';
import type { MapGrid } from '../state/answers.ts';
import type { ThresholdTried } from '../state/stage.svelte.ts';
import { type ShadeScale, shadeScale } from './shade-scale.ts';
import { type FieldReading, type MapShade, type ShadeContext, shownIn } from './shades.ts';

export type Readings = ReadonlyMap<string, FieldReading>;
export type Grids = ReadonlyMap<string, MapGrid>;
export const NO_READINGS: Readings = new Map();

/** What was seen in the fields shades nothing by itself: the study that follows does. */
const UNSHADED: readonly (keyof Farm)[] = ['rounds', 'thresholdPerM2'];

/** Whether nothing that a shade reads of the document differs; what an edit leaves alone stays the same object. */
export function shadesAlike(a: Farm, b: Farm): boolean {
  const names = new Set([...Object.keys(a), ...Object.keys(b)]) as Set<keyof Farm>;
  return [...names].every((name) => a[name] === b[name] || UNSHADED.includes(name));
}

/** From the study; of another season than the study's, from what its grids say on average. */
export function readingsOf(shade: MapShade, context: ShadeContext, grids: Grids | null): Readings {
  const { study, season } = context;
  const looksBack = season !== study.farm.season;
  return new Map(
    study.fields.map((field) => [
      field.id,
      looksBack ? lookedBack(shade, context, field.id, grids?.get(field.id)) : shade.read(field, context),
    ]),
  );
}

function lookedBack(shade: MapShade, context: ShadeContext, field: string, grid: MapGrid | undefined): FieldReading {
  const group = groupOf(shade, context, field);
  const value = meanOfKnown(grid?.values ?? []);
  if (value === null) return { value, words: `nothing is known of ${context.season ?? 'that season'}`, group };
  const words = `${context.season}: ${shownIn(shade.unit(context, group), value)} on average`;
  return { value, words, group };
}

export function gridsTried({ field, map }: ThresholdTried): Grids {
  return new Map(map ? [[field, map]] : []);
}

/** While a threshold is tried on one field, the others have no chances of the same threshold to show. */
export function readingsTried({ study }: ShadeContext, { field, share, words }: ThresholdTried): Readings {
  const other = { value: null, words: 'not shown while another threshold is tried', group: '' };
  return new Map(study.fields.map(({ id }) => [id, id === field ? { value: share, words, group: '' } : other]));
}

/** Fields of one group are classed together: for yields, those of one crop. */
export function groupOf(shade: MapShade, { farm, season }: ShadeContext, field: string): string {
  return shade.id === 'yield' && season !== null ? (cropOf(farm, field, season)?.crop ?? '') : '';
}

/** Cells that the classes of the farm are made from, at most. */
const SAMPLED_CELLS = 40_000;

/** By group: from the cells where grids are drawn, else from the readings of the fields. */
export function scalesOf(
  shade: MapShade,
  context: ShadeContext,
  readings: Readings,
  drawn: Grids | null,
): ReadonlyMap<string, ShadeScale> {
  const byGroup = new Map<string, number[]>();
  const put = (group: string, value: number) => {
    const known = byGroup.get(group);
    if (known) known.push(value);
    else byGroup.set(group, [value]);
  };
  const grids = [...(drawn ?? [])];
  const cells = grids.reduce((sum, [, one]) => sum + one.values.length, 0);
  const every = Math.max(1, Math.ceil(cells / SAMPLED_CELLS));
  for (const [field, { values }] of grids) {
    const group = groupOf(shade, context, field);
    for (let i = 0; i < values.length; i += every) if (!Number.isNaN(values[i])) put(group, values[i]!);
  }
  const withCells = new Set(byGroup.keys());
  for (const { value, group } of readings.values()) if (value !== null && !withCells.has(group)) put(group, value);
  return new Map(
    [...byGroup].map(([group, values]) => [group, shadeScale(shade, values, shade.unit(context, group).factor)]),
  );
}

/** The weed that was found at the most places; '' where none was. */
export function mainSpecies(study: Study | null): string {
  const found = new Map<string, number>();
  for (const { bySpecies } of study?.fields ?? []) {
    for (const { species, positives } of bySpecies) found.set(species, (found.get(species) ?? 0) + positives);
  }
  return [...found].sort(([, a], [, b]) => b - a)[0]?.[0] ?? '';
}

function meanOfKnown(values: ArrayLike<number>): number | null {
  let [sum, n] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i])) continue;
    sum += values[i]!;
    n++;
  }
  return n === 0 ? null : sum / n;
}
