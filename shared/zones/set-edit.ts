/** Edits of the document's zone sets. The first edit of a proposed set copies it into the document with its rules, in one step with the change. */
import type { Frame } from '../geometry/local-frame.ts';
import { toLocalPolygon, toLonLatPolygon } from '../geometry/polygon.ts';
import type { MultiPolygon } from '../geometry/types.ts';
import type { Edit } from '../model/edit.ts';
import type { Choice, Farm } from '../model/farm.ts';
import { freeId } from '../model/free-id.ts';
import type { EditedZone, ZonesEdit } from './edit.ts';

export type ZoneSet = Farm['zoneSets'][number];
export type DocumentZone = ZoneSet['zones'][number];
export type SetRules = ZoneSet['rules'];

/** Whose zones: of a field, for the season in which they are treated. */
export interface SetPlace {
  readonly field: string;
  readonly season: number;
}

export function zoneSetOf(farm: Farm, { field, season }: SetPlace): ZoneSet | null {
  return farm.zoneSets.find((one) => one.field === field && one.season === season) ?? null;
}

interface ZoneInDegrees {
  readonly id: string;
  readonly letter: string;
  readonly area: MultiPolygon;
  readonly species?: string | undefined;
}

export function inFrame(frame: Frame, zones: readonly ZoneInDegrees[]): EditedZone[] {
  return zones.map(({ id, letter, area, species }) => ({
    id,
    letter,
    area: toLocalPolygon(frame, area),
    ...(species === undefined ? {} : { species }),
    degrees: area,
  }));
}

/** Zones that were not changed keep their degrees to the last digit. */
export function inDegrees(frame: Frame, zones: readonly EditedZone[]): DocumentZone[] {
  return zones.map(({ id, letter, area, species, degrees }) => ({
    id,
    letter,
    area: (degrees ?? toLonLatPolygon(frame, area)) as DocumentZone['area'],
    ...(species === undefined ? {} : { species }),
  }));
}

/**
 * The set with its zones changed. What was planned on a zone that is gone goes with it; a zone that came out of another one takes
 * that one's plan along.
 * @param before as the zones were: of the document, or as they were proposed
 * @param rules of the proposal, kept where the document has no set yet; null: drawn from nothing
 */
export function editZoneSet(
  farm: Farm,
  place: SetPlace,
  frame: Frame,
  before: readonly { readonly id: string }[],
  edit: ZonesEdit,
  rules: SetRules,
): Edit {
  const set = zoneSetOf(farm, place);
  const zones = inDegrees(frame, edit.zones);
  const next: ZoneSet = set ? { ...set, zones } : newSet(farm, place, rules, zones);
  const kept = new Set(zones.map((one) => one.id));
  const gone = new Set(before.flatMap(({ id }) => (kept.has(id) ? [] : [id])));
  const follow = (plan: readonly Choice[]) => planAfter(plan, place.season, gone, edit.from);
  return { label: edit.label, sets: [setOfZones(farm, place, next), ...setsOfPlans(farm, follow)] };
}

/** The proposal as it stands becomes the document's, with its rules. */
export function acceptZones(
  farm: Farm,
  place: SetPlace,
  zones: readonly ZoneInDegrees[],
  rules: SetRules,
  label: string,
): Edit {
  const plain = zones.map(({ id, letter, area, species }): DocumentZone => ({
    id,
    letter,
    area: area as DocumentZone['area'],
    ...(species === undefined ? {} : { species }),
  }));
  const set = zoneSetOf(farm, place);
  const next: ZoneSet = set ? { ...set, rules, zones: plain } : newSet(farm, place, rules, plain);
  const kept = new Set(plain.map((one) => one.id));
  const gone = new Set((set?.zones ?? []).flatMap(({ id }) => (kept.has(id) ? [] : [id])));
  const follow = (plan: readonly Choice[]) => planAfter(plan, place.season, gone, {});
  return { label, sets: [setOfZones(farm, place, next), ...setsOfPlans(farm, follow)] };
}

/** The document's set is taken away: the study proposes again. */
export function backToProposal(farm: Farm, place: SetPlace, label: string): Edit {
  return { label, sets: [setOfZones(farm, place, null)] };
}

function newSet(farm: Farm, { field, season }: SetPlace, rules: SetRules, zones: DocumentZone[]): ZoneSet {
  const taken = new Set(farm.zoneSets.map((one) => one.id));
  const id = freeId(`zones-${field.slice(0, 48)}-${season}`, taken);
  return { id, field, season, rules, zones };
}

function setOfZones(farm: Farm, place: SetPlace, next: ZoneSet | null): Edit['sets'][number] {
  const set = zoneSetOf(farm, place);
  const value = set
    ? farm.zoneSets.flatMap((one) => (one !== set ? [one] : next ? [next] : []))
    : [...farm.zoneSets, ...(next ? [next] : [])];
  return { path: ['zoneSets'], value };
}

function setsOfPlans(farm: Farm, follow: (plan: readonly Choice[]) => readonly Choice[]): Edit['sets'][number][] {
  const sets: Edit['sets'][number][] = [];
  const plan = follow(farm.plan);
  if (plan !== farm.plan) sets.push({ path: ['plan'], value: plan });
  farm.scenarios.forEach((one, index) => {
    const after = follow(one.plan);
    if (after !== one.plan) sets.push({ path: ['scenarios', index, 'plan'], value: after });
  });
  return sets;
}

/** The same array where nothing of it changes. */
function planAfter(
  plan: readonly Choice[],
  season: number,
  gone: ReadonlySet<string>,
  from: Readonly<Record<string, string>>,
): readonly Choice[] {
  const onZone = (choice: Choice) => (choice.season === season && 'zone' in choice.target ? choice.target.zone : null);
  const left = plan.filter((one) => !gone.has(onZone(one) ?? ''));
  const added = Object.entries(from).flatMap(([zone, parent]) =>
    plan.filter((one) => onZone(one) === parent).map((one): Choice => ({ ...one, target: { zone } })),
  );
  return left.length === plan.length && added.length === 0 ? plan : [...left, ...added];
}
