/**
 * Which of a time log's values give flow, moisture, width, header and speed, and how they are read. A value is logged when it
 * changes and holds until then; before its first it is not known.
 * @source ISO 11783-11 data dictionary (units and resolutions, snapshot 2025-01-21); what goes first where several give the same
 *   is *assumed*: mass a time before totals before dry mass before mass an area, which runs to thousands of tonnes a hectare
 *   where a machine stands still (seen in a real log)
 */
import type { DeviceElement } from './task-set.ts';
import type { LoggedValue, TimeLogHeader } from './time-log-header.ts';

export const DDI = {
  workingWidth: 0x43,
  defaultWidth: 0x44,
  maximumWidth: 0x46,
  volumePerArea: 0x53,
  massPerArea: 0x54,
  volumePerTime: 0x56,
  massPerTime: 0x57,
  totalVolume: 0x59,
  totalMass: 0x5a,
  moisture: 0x63,
  offsetX: 0x86,
  workState: 0x8d,
  condensedFirst: 0xa1,
  condensedLast: 0xb0,
  dryMassPerArea: 0xb5,
  dryMassPerTime: 0xb6,
  totalDryMass: 0xb7,
  referenceMoisture: 0xb8,
  speed: 0x18d,
} as const;

/** Entries of a harvest; a log with none of them is of other work. */
export const HARVEST_DDIS: readonly number[] = [
  DDI.volumePerArea,
  DDI.massPerArea,
  DDI.volumePerTime,
  DDI.massPerTime,
  DDI.totalVolume,
  DDI.totalMass,
  DDI.dryMassPerArea,
  DDI.dryMassPerTime,
  DDI.totalDryMass,
];

export const ddiText = (ddi: number) => ddi.toString(16).toUpperCase().padStart(4, '0');

/** Places in the header of one quantity: one element's, or those of all sections that add up. */
export interface Chosen {
  readonly ddi: number;
  readonly at: readonly number[];
  readonly elements: readonly string[];
}

export interface LogPlan {
  readonly flow: (Chosen & { readonly from: FlowFrom }) | null;
  readonly moisture: Chosen | null;
  readonly referenceMoisture: Chosen | null;
  readonly width: Chosen | null;
  /** Widths that the machine's description fixes, for logs without a logged width, m. */
  readonly fixedWidthM: number | null;
  /** Of sections whose states are logged: their fixed widths in the order of `states`. */
  readonly sectionWidthsM: readonly number[] | null;
  readonly states: Chosen | null;
  readonly condensed: Chosen | null;
  readonly speed: Chosen | null;
  /** The log weighs by volume alone. */
  readonly byVolume: boolean;
}

export type FlowFrom =
  'mass a time' | 'total' | 'dry mass a time' | 'mass an area' | 'volume a time' | 'total volume' | 'volume an area';

/** Where no mass is logged, and how heavy the grain is was said. */
const BY_VOLUME: readonly (readonly [number, FlowFrom])[] = [
  [DDI.volumePerTime, 'volume a time'],
  [DDI.totalVolume, 'total volume'],
  [DDI.volumePerArea, 'volume an area'],
];

/** @param hasDensity whether a volume of the grain can be weighed */
export function planLog(
  header: TimeLogHeader,
  elements: ReadonlyMap<string, DeviceElement>,
  hasDensity = false,
): LogPlan {
  const choose = (ddi: number) => chooseValues(header.values, ddi, elements);
  const flows: readonly (readonly [number, FlowFrom])[] = [
    [DDI.massPerTime, 'mass a time'],
    [DDI.totalMass, 'total'],
    [DDI.dryMassPerTime, 'dry mass a time'],
    [DDI.massPerArea, 'mass an area'],
  ];
  const byMass = flows.find(([ddi]) => choose(ddi) !== null);
  const byVolume = byMass ? undefined : BY_VOLUME.find(([ddi]) => choose(ddi) !== null);
  const found = byMass ?? (hasDensity ? byVolume : undefined);
  const states = choose(DDI.workState);
  const sections = states?.elements.map((id) => fixedWidthOf(elements.get(id)));
  return {
    flow: found ? { ...choose(found[0])!, from: found[1] } : null,
    moisture: choose(DDI.moisture),
    referenceMoisture: choose(DDI.referenceMoisture),
    width: choose(DDI.workingWidth),
    fixedWidthM: widestFixed(header, elements),
    sectionWidthsM:
      sections && sections.length > 1 && sections.every((one) => one !== null) ? (sections as number[]) : null,
    states,
    condensed: condensedOf(header.values),
    speed: choose(DDI.speed),
    byVolume: byVolume !== undefined,
  };
}

/** The element nearest to the machine itself; several of one depth (sections) go together. */
function chooseValues(
  values: readonly LoggedValue[],
  ddi: number,
  elements: ReadonlyMap<string, DeviceElement>,
): Chosen | null {
  const offers = values.flatMap((one, at) => (one.ddi === ddi ? [{ at, element: one.element }] : []));
  if (offers.length === 0) return null;
  const depthOf = (element: string) => elements.get(element)?.depth ?? 0;
  const least = Math.min(...offers.map((one) => depthOf(one.element)));
  const best = offers.filter((one) => depthOf(one.element) === least);
  return { ddi, at: best.map((one) => one.at), elements: best.map((one) => one.element) };
}

function condensedOf(values: readonly LoggedValue[]): Chosen | null {
  const isCondensed = ({ ddi }: LoggedValue) => ddi >= DDI.condensedFirst && ddi <= DDI.condensedLast;
  const at = values.flatMap((one, index) => (isCondensed(one) ? [index] : []));
  return at.length === 0 ? null : { ddi: values[at[0]!]!.ddi, at, elements: at.map((one) => values[one]!.element) };
}

/** Actual, then default, then greatest width of the description; m. */
function fixedWidthOf(element: DeviceElement | undefined): number | null {
  for (const ddi of [DDI.workingWidth, DDI.defaultWidth, DDI.maximumWidth]) {
    const mm = element?.constants.get(ddi);
    if (mm !== undefined && mm > 0) return mm / 1000;
  }
  return null;
}

/** Widest part of the machines that the log is of; sections of one part are narrower than the part. */
function widestFixed(header: TimeLogHeader, elements: ReadonlyMap<string, DeviceElement>): number | null {
  const devices = new Set(header.values.flatMap((one) => elements.get(one.element)?.device ?? []));
  const widths = [...elements.values()].flatMap((one) => (devices.has(one.device) ? (fixedWidthOf(one) ?? []) : []));
  return widths.length === 0 ? null : Math.max(...widths);
}

const OFF = 0;
const ON = 1;

/** Last value of each entry of the header; NaN before its first. */
export class HeldValues {
  readonly held: Float64Array;
  private readonly start: Float64Array;

  constructor({ values }: TimeLogHeader) {
    this.start = Float64Array.from(values, (one) => one.constant ?? NaN);
    this.held = this.start.slice();
  }

  /** Sum of what is known; NaN where nothing is. */
  sum(chosen: Chosen): number {
    let sum = NaN;
    for (const at of chosen.at) {
      const value = this.held[at]!;
      if (value === value) sum = sum === sum ? sum + value : value;
    }
    return sum;
  }

  first(chosen: Chosen): number {
    for (const at of chosen.at) if (this.held[at] === this.held[at]) return this.held[at]!;
    return NaN;
  }

  /** 1 where any part works, 0 where all that is known are off, null where nothing is known. */
  isDown({ states, condensed }: LogPlan): 0 | 1 | null {
    let known = false;
    for (const at of states?.at ?? []) {
      const value = this.held[at]!;
      if (value === ON) return 1;
      if (value === OFF) known = true;
    }
    if (known || states !== null) return known ? 0 : null;
    for (const at of condensed?.at ?? []) {
      const value = this.held[at]!;
      if (value !== value) continue;
      // Two bits a section, the first lowest; 2 is an error, 3 not installed.
      for (let section = 0; section < 16; section++) {
        const state = (value >>> (2 * section)) & 3;
        if (state === ON) return 1;
        if (state === OFF) known = true;
      }
    }
    return known ? 0 : null;
  }

  /** m; NaN where it is not known. @param isDescribed whether the machine's description may stand for what is not logged */
  widthM(plan: LogPlan, isDescribed = true): number {
    if (plan.width !== null) {
      const mm = this.sum(plan.width);
      if (mm === mm) return mm / 1000;
    }
    if (plan.sectionWidthsM !== null && plan.states !== null) {
      let sum = 0;
      plan.states.at.forEach((at, n) => {
        if (this.held[at] === ON) sum += plan.sectionWidthsM![n]!;
      });
      if (sum > 0) return sum;
    }
    return isDescribed ? (plan.fixedWidthM ?? NaN) : NaN;
  }
}
