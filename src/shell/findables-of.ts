import { speciesOf } from '../../shared/model/lookups.ts';
import { SPECIES } from '../../shared/agronomy/species.ts';
import type { Desk } from '../state/desk.svelte.ts';
import { PLACES, SHADES } from '../state/places.ts';
import { THEMES } from '../state/theme.svelte.ts';
import type { Findable } from './findable.ts';
import { seasonsOf } from './seasons.ts';
import { unitsEdit } from './units-edit.ts';

const GROUND_WORDS = { light: 'Paper', dark: 'Dark soil', sunlight: 'Sunlight' } as const;

export function findablesOf(desk: Desk): Findable[] {
  const { view, farm, document, theme, stage } = desk;
  const places = PLACES.map(({ id, name }): Findable => ({ words: name, kind: 'place', run: () => view.go(id) }));
  const grounds = THEMES.map((id): Findable => ({
    words: GROUND_WORDS[id],
    kind: 'light',
    also: `theme ${id}`,
    run: () => theme.choose(id),
  }));
  if (!farm) return [...places, ...grounds];
  const fields = farm.fields.map(({ id, name }): Findable => ({
    words: name,
    kind: 'field',
    run: () => {
      view.select(id);
      stage.fitTo(id);
    },
  }));
  const shades = SHADES.map(({ id, name }): Findable => ({
    words: `Shade by ${name.toLowerCase()}`,
    kind: 'map',
    run: () => view.shadeBy(id),
  }));
  const seasons = seasonsOf(farm).map((year, index): Findable => ({
    words: `Season ${year}`,
    kind: 'season',
    run: () => desk.studySeason(index === 0 ? null : year),
  }));
  const species = speciesOf(farm).map((id): Findable => ({
    words: `Show ${SPECIES.find((one) => one.id === id)?.name ?? id}`,
    kind: 'weed',
    run: () => view.lookAtSpecies(id),
  }));
  const doable: Findable[] = [
    { words: 'Fit the map to the farm', kind: 'map', run: () => stage.fitTo(null) },
    { words: 'US customary units', kind: 'units', also: 'acres', run: () => desk.edit(unitsEdit('us')) },
    { words: 'Metric units', kind: 'units', also: 'hectares', run: () => desk.edit(unitsEdit('metric')) },
  ];
  if (document.undoable) doable.push({ words: `Undo: ${document.undoable}`, kind: 'edit', run: () => document.undo() });
  if (document.redoable) doable.push({ words: `Redo: ${document.redoable}`, kind: 'edit', run: () => document.redo() });
  return [...places, ...fields, ...doable, ...shades, ...seasons, ...species, ...grounds];
}
