/** What lies at a place of the map, in a few words each: the field and its value there, a scouted place, a record of the combine. */
import { SPECIES } from '../../shared/agronomy/species.ts';
import type { LonLat } from '../../shared/geometry/types.ts';
import { FLAG_NAMES } from '../../shared/model/log-flags.ts';
import { cropOf } from '../../shared/model/lookups.ts';
import { formatNumber, formatQuantity } from '../../shared/units/format.ts';
import type { ScoutedPlace, ShownPath } from '../state/answers.ts';
import { fieldAt } from './field-shapes.ts';
import { gridValueAt } from './on-screen.ts';
import { pickPoint } from './path-picking.ts';
import type { Picture } from './picture.svelte.ts';
import { shownIn, yieldUnit } from './shades.ts';

const PICK_PX = 14;
/** A record is told only where single passes can be told apart. */
const LEAST_PICK_PX_PER_M = 0.25;

export function readoutAt(picture: Picture, at: LonLat, pxPerM: number): readonly string[] {
  const place = nearestPlace(picture.shownPlaces, at, PICK_PX / pxPerM);
  const field = fieldAt(picture.shapes, at);
  const path = field && pxPerM >= LEAST_PICK_PX_PER_M ? picture.paths.get(field.id) : undefined;
  const record = path ? pickPoint(path, at, PICK_PX / pxPerM) : -1;
  return [
    ...(field ? [[field.name, valueThere(picture, field.id, at)].filter(Boolean).join(': ')] : []),
    ...(place ? [placeInWords(place)] : []),
    ...(path && record >= 0 ? [recordInWords(picture, field!.id, path, record)] : []),
  ];
}

function valueThere({ shading, surfaces, traced }: Picture, field: string, at: LonLat): string {
  if (traced?.shape.id === field) {
    const seeds = gridValueAt(traced.map, at);
    return seeds === null ? '' : `${traced.title.toLowerCase()}: ${traced.words(seeds)}`;
  }
  const { context } = shading;
  const surface = surfaces.find((one) => one.shape.id === field);
  if (!context || !surface) return shading.readings.get(field)?.words ?? '';
  const value = gridValueAt(surface.grid, at);
  return value === null ? 'unknown here' : `${shownIn(shading.shade.unit(context, surface.group), value)} here`;
}

function nearestPlace(places: readonly ScoutedPlace[], [lon, lat]: LonLat, withinM: number): ScoutedPlace | null {
  const perLatM = 111_195;
  const perLonM = perLatM * Math.cos((lat * Math.PI) / 180);
  let [nearest, leastM]: [ScoutedPlace | null, number] = [null, withinM];
  for (const place of places) {
    const distanceM = Math.hypot((place.at[0] - lon) * perLonM, (place.at[1] - lat) * perLatM);
    if (distanceM <= leastM) [nearest, leastM] = [place, distanceM];
  }
  return nearest;
}

export function placeInWords({ species, count, effortM2, presenceOnly, atLeast }: ScoutedPlace): string {
  const name = SPECIES.find((one) => one.id === species)?.name ?? species;
  if (presenceOnly) return count > 0 ? `${name} seen, not counted` : `looked, no ${name} seen`;
  const plants = `${formatNumber(count, Number.isInteger(count) ? 0 : 1)} ${name}`;
  return `${atLeast ? 'at least ' : ''}${plants} in ${formatNumber(effortM2, effortM2 < 10 ? 2 : 0)} m²`;
}

function recordInWords({ shading }: Picture, field: string, path: ShownPath, record: number): string {
  const { context } = shading;
  if (!context) return '';
  const { farm, season } = context;
  if (path.assumed) return `assumed way, header ${formatQuantity(path.headerWidthM, 'length', farm.display)}`;
  const pass = path.pass[record]!;
  const yieldKgHa = path.yieldKgHa[record]!;
  const crop = season === null ? '' : (cropOf(farm, field, season)?.crop ?? '');
  return [
    clock(path.timeS[record]! + farm.utcOffsetMinutes * 60),
    pass >= 0 ? `pass ${pass + 1}` : 'turning',
    Number.isNaN(yieldKgHa) ? '' : shownIn(yieldUnit(farm, crop), yieldKgHa),
    flagsInWords(path.flags[record] ?? 0),
  ]
    .filter(Boolean)
    .join(', ');
}

function flagsInWords(bits: number): string {
  const names = FLAG_NAMES.filter((_, bit) => ((bits >> bit) & 1) === 1);
  return names.length === 0 ? '' : `flagged ${names.join(', ')}`;
}

/** Hours, minutes and seconds of the day. */
function clock(timeS: number): string {
  const ofDay = ((Math.floor(timeS) % 86_400) + 86_400) % 86_400;
  const parts = [ofDay / 3600, (ofDay / 60) % 60, ofDay % 60];
  return parts.map((one) => String(Math.floor(one)).padStart(2, '0')).join(':');
}
