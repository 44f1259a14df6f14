/** Ground that a person may ask of: pressed, typed, drawn before, or thick with seed. */
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import { cellCentre } from '../../../shared/geometry/grid.ts';
import type { LonLat, MultiPolygon } from '../../../shared/geometry/types.ts';
import type { TracedGround } from '../../../shared/analysis/seed-trace.ts';
import type { FieldPatch } from '../../../shared/analysis/field-patches.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { type Display, formatNumber, formatQuantity, shownUnit } from '../../../shared/units/format.ts';
import { type Typed } from '../../../shared/units/typed-number.ts';
import { fromSI, toSI, UNITS } from '../../../shared/units/units.ts';
import { twoFigures } from '../../../shared/units/rough.ts';
import { isInside } from '../../map/label-place.ts';
import type { MapGrid } from '../../state/answers.ts';
import { weedName } from '../telling/weed-words.ts';

export interface NamedGround {
  readonly name: string;
  readonly ground: TracedGround;
  /** Nobody drew or took it: it is not what a press in it means. */
  readonly isProposed?: boolean;
}

const CORNERS = 48;

/** Radii to choose from, in round numbers of the farm's own unit, m. */
export function radiiM(display: Display): readonly number[] {
  return display === 'us' ? [30, 60, 120, 250].map((feet) => toSI(feet, 'ft')) : [10, 20, 40, 80];
}

/** The ground as it is drawn: about a place, a ring. */
export function outlineOf(ground: TracedGround): MultiPolygon {
  if ('area' in ground) return ground.area;
  const frame = createFrame(ground.at);
  const ring = Array.from({ length: CORNERS + 1 }, (_, k) => {
    const angle = (2 * Math.PI * (k % CORNERS)) / CORNERS;
    return frame.toLonLat(ground.radiusM * Math.cos(angle), ground.radiusM * Math.sin(angle));
  });
  return [[ring]];
}

/** Patches drawn in a field, and its zones of the coming season: those that were accepted, else the proposed. */
export function drawnGrounds(
  farm: Farm,
  field: { readonly id: string; readonly zones: readonly { readonly id: string; readonly area: MultiPolygon }[] },
  season: number,
  drawn: readonly FieldPatch[],
): readonly NamedGround[] {
  const patches = drawn.map(({ species, density, area }, index) => ({
    name: `Patch ${index + 1}: ${typeof density === 'string' ? `${density}, ` : ''}${weedName(species)}`,
    ground: { area },
  }));
  const accepted = farm.zoneSets.find((one) => one.field === field.id && one.season === season + 1);
  const zones = accepted
    ? accepted.zones.map(({ letter, area }) => ({ name: `Zone ${letter}`, ground: { area: area as MultiPolygon } }))
    : field.zones.map(({ id, area }) => ({
        name: `Zone ${id.slice(id.lastIndexOf('-') + 1)}, proposed`,
        ground: { area },
        isProposed: true,
      }));
  return [...patches, ...zones];
}

/** A press in a drawn ground takes it whole; elsewhere the ground about the place. */
export function groundAt(at: LonLat, drawn: readonly NamedGround[], radiusM: number, display: Display): NamedGround {
  const holds = ({ ground, isProposed }: NamedGround) =>
    !isProposed && 'area' in ground && ground.area.some((rings) => isInside(rings, at));
  return drawn.find(holds) ?? aroundPlace(at, radiusM, display);
}

export function aroundPlace(at: LonLat, radiusM: number, display: Display): NamedGround {
  const name = `Within ${formatQuantity(radiusM, 'length', display, 0)} of ${placeText(at)}`;
  return { name, ground: { at, radiusM } };
}

/** As the margin of the map tells it: latitude first. */
export function placeText([lon, lat]: LonLat): string {
  return `${lat.toFixed(5)}, ${lon.toFixed(5)}`;
}

/** Seeds on the ground, to two figures: "27,000/ft²". */
export function perAreaText(perM2: number, display: Display): string {
  const unit = shownUnit('count per area', display);
  const shown = twoFigures(fromSI(perM2, unit));
  return `${formatNumber(shown, shown < 9.5 ? 1 : 0)}${UNITS[unit].symbol}`;
}

/** "42.00054, -93.49927", as the map copies it. */
export function readPlace(text: string): Typed<LonLat> {
  const parts = text
    .replaceAll('−', '-')
    .split(/[,;\s]+/)
    .filter(Boolean)
    .map(Number);
  const [lat, lon] = parts;
  if (parts.length !== 2 || !Number.isFinite(lat) || !Number.isFinite(lon))
    return { wrong: 'A place is its latitude and longitude in degrees, as the map tells it: 42.00054, -93.49927.' };
  if (Math.abs(lat!) > 90) return { wrong: 'The latitude comes first, and lies from −90 to 90.' };
  return { value: [lon!, lat!] };
}

/** The cells with the most, thickest first, none nearer to another than so far. */
export function thickestPlaces(
  { origin, grid, values }: MapGrid,
  most: number,
  apartM: number,
): readonly { readonly at: LonLat; readonly value: number }[] {
  const order = [...values.keys()].filter((cell) => values[cell]! > 0).sort((a, b) => values[b]! - values[a]! || a - b);
  const taken: [number, number][] = [];
  const found: { at: LonLat; value: number }[] = [];
  const frame = createFrame(origin);
  for (const cell of order) {
    if (found.length === most) break;
    const [x, y] = cellCentre(grid, cell);
    if (taken.some(([tx, ty]) => Math.hypot(tx - x, ty - y) < apartM)) continue;
    taken.push([x, y]);
    found.push({ at: frame.toLonLat(x, y), value: values[cell]! });
  }
  return found;
}
