/**
 * What the applicator gets for one pass: areas, rates as the person typed them, totals, tank loads, cautions. One product or several
 * in one tank. Rates are held against the labels' limits as the person typed them; nothing here proposes one.
 */
import { type Caution, cautionsFor } from '../agronomy/cautions.ts';
import { productPerLoad, productTotal, sprayVolumeL, tankLoads } from '../agronomy/spraying.ts';
import type { Product } from '../model/farm.ts';
import { done, type Outcome } from '../model/problem.ts';
import type { Display } from '../units/format.ts';
import type { UnitId } from '../units/units.ts';
import { alongEdgeM } from './edge-error.ts';
import { labelProblems } from './label-limits.ts';
import { perHectare, rateInLabelUnit } from './label-rate.ts';

export interface TypedRate {
  readonly product: Product;
  /** As typed from the label, in `unit` per area. */
  readonly ratePerArea: number;
  readonly unit: UnitId;
}

export type PositionLost = 'nothing' | 'outside rate' | 'zone rate';

export interface HandOffInput {
  /** Units of what is told. */
  readonly display: Display;
  readonly field: string;
  readonly crop: string;
  readonly tolerates: readonly string[] | 'not stated';
  /** One a product; several go into one tank. */
  readonly rates: readonly TypedRate[];
  /** Spray volume in the zones, L/ha; null for a dry product. */
  readonly carrierLHa: number | null;
  readonly tankL: number | null;
  /** Width of one section of the boom, m; null where it is not told. */
  readonly sectionM: number | null;
  readonly zones: readonly { readonly id: string; readonly areaM2: number }[];
  /** The field's ground outside the zones, and what it gets as a share of the zones' rate; 0: nothing. */
  readonly outside: { readonly areaM2: number; readonly fraction: number };
  readonly positionLost: PositionLost;
  /** Shares of the full label rate of each ingredient that this season already got here. */
  readonly alreadyThisSeason: Readonly<Record<string, number>>;
  readonly neighbors: readonly NearNeighbor[];
}

export interface NearNeighbor {
  readonly note: string;
  readonly kind: string;
  /** From the field's boundary; 0 inside. */
  readonly distanceM: number;
  /** Seen from the middle of the field: "north-east". */
  readonly direction: string;
}

export interface HandOffProduct {
  readonly id: string;
  readonly product: string;
  readonly form: Product['form'];
  readonly ingredients: readonly { readonly ingredient: string; readonly group: string }[];
  readonly ratePerArea: number;
  readonly unit: UnitId;
  /** Share of the full label rate as typed. */
  readonly rateFraction: number;
  readonly zones: readonly { readonly id: string; readonly areaM2: number; readonly product: number }[];
  /** Outside the zones; 0 where nothing goes there. */
  readonly outsideProduct: number;
  /** In the rate's own amount (L, kg …, by `amountUnit`). */
  readonly productTotal: number;
  readonly amountUnit: string;
  /** null where there are no loads to tell. */
  readonly productPerFull: number | null;
  readonly productInLast: number | null;
  readonly label: Product['label'];
}

export interface HandOff {
  readonly field: string;
  readonly crop: string;
  readonly products: readonly HandOffProduct[];
  readonly zones: readonly { readonly id: string; readonly areaM2: number }[];
  readonly zonesAreaM2: number;
  readonly outside: { readonly areaM2: number; readonly fraction: number };
  readonly positionLost: PositionLost;
  /** Ground that is treated, zones and outside. */
  readonly areaM2: number;
  readonly volumeLHa: number | null;
  readonly volumeL: number | null;
  readonly loads: { readonly count: number; readonly fullL: number; readonly lastL: number } | null;
  /** Along an edge of a zone, sections switched at their middle: mean width treated beyond it and missed within it. */
  readonly alongEdge: { readonly sectionM: number; readonly overM: number; readonly missedM: number } | null;
  /** Homes, hives, crops and water within reach of drift or of a buffer, nearest first. */
  readonly neighbors: readonly NearNeighbor[];
  /** The longest of every product in the tank, as typed from its label; null where no label tells. */
  readonly governing: {
    readonly reentryHours: number | null;
    readonly preHarvestDays: number | null;
    readonly bufferM: number | null;
    readonly plantBackDays: Readonly<Record<string, number>>;
  };
  readonly cautions: readonly Caution[];
}

/** Neighbors nearer than this stand on the order (*assumed*: farther than any usual buffer). */
const NEAR_M = 1000;

/**
 * Refused where a crop's tolerance is not stated or not given, and where a rate leaves its label's limits. A problem's `where` names
 * what caused it: `id` the product, `column` one of rate, unit, volume, outside, tolerates, zones, products.
 */
export function handOff(input: HandOffInput): Outcome<HandOff> {
  const problems = labelProblems(input);
  if (problems.some((one) => one.level === 'error')) return { ok: false, problems };

  const { carrierLHa, outside, zones } = input;
  const zonesAreaM2 = zones.reduce((sum, zone) => sum + zone.areaM2, 0);
  // A tank holds one mix: what goes out less outside the zones goes out as less spray.
  const fullRateM2 = zonesAreaM2 + outside.areaM2 * outside.fraction;
  const volumeL = carrierLHa === null ? null : sprayVolumeL(fullRateM2, carrierLHa);
  const loads = volumeL === null || input.tankL === null ? null : tankLoads(volumeL, input.tankL);
  const labels = input.rates.map((one) => one.product.label);
  return done(
    {
      field: input.field,
      crop: input.crop,
      products: input.rates.map((rate): HandOffProduct => {
        const { product } = rate;
        const perHa = perHectare(rate.ratePerArea, rate.unit);
        const inLoad = (loadL: number) =>
          carrierLHa === null ? null : productPerLoad(loadL, carrierLHa, perHa.amount);
        return {
          id: product.id,
          product: product.name,
          form: product.form,
          ingredients: product.parts.map(({ ingredient, group }) => ({ ingredient, group })),
          ratePerArea: rate.ratePerArea,
          unit: rate.unit,
          rateFraction: rateInLabelUnit(rate)! / product.label.full,
          zones: zones.map((zone) => ({ ...zone, product: productTotal(zone.areaM2, perHa.amount) })),
          outsideProduct: productTotal(outside.areaM2 * outside.fraction, perHa.amount),
          productTotal: productTotal(fullRateM2, perHa.amount),
          amountUnit: perHa.unit,
          productPerFull: loads && inLoad(loads.fullL),
          productInLast: loads && inLoad(loads.lastL),
          label: product.label,
        };
      }),
      zones,
      zonesAreaM2,
      outside,
      positionLost: input.positionLost,
      areaM2: zonesAreaM2 + (outside.fraction > 0 ? outside.areaM2 : 0),
      volumeLHa: carrierLHa,
      volumeL,
      loads: loads && { count: loads.loads, fullL: loads.fullL, lastL: loads.lastL },
      alongEdge: input.sectionM === null ? null : { sectionM: input.sectionM, ...alongEdgeM(input.sectionM, 'centre') },
      neighbors: input.neighbors.filter((one) => one.distanceM <= NEAR_M).sort((a, b) => a.distanceM - b.distanceM),
      governing: {
        reentryHours: longest(labels.map((one) => one.reentryHours)),
        preHarvestDays: longest(labels.map((one) => one.preHarvestDays)),
        bufferM: longest(labels.map((one) => one.bufferM)),
        plantBackDays: longestOfEach(labels.map((one) => one.plantBack ?? {})),
      },
      cautions: cautionsFor(['product', 'rate', 'machine', 're-entry']),
    },
    problems,
  );
}

function longest(values: readonly (number | undefined)[]): number | null {
  const told = values.filter((one) => one !== undefined);
  return told.length === 0 ? null : Math.max(...told);
}

function longestOfEach(labels: readonly Readonly<Record<string, number>>[]): Record<string, number> {
  const most: Record<string, number> = {};
  for (const label of labels)
    for (const [crop, days] of Object.entries(label)) most[crop] = Math.max(days, most[crop] ?? 0);
  return most;
}
