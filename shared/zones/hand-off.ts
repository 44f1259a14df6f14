/**
 * What the applicator gets for one pass: areas, rate as the person typed it, totals, tank loads, cautions. The rate is held
 * against the label's limits as the person typed them; nothing here proposes one.
 */
import { type Caution, cautionsFor } from '../agronomy/cautions.ts';
import { productPerLoad, productTotal, sprayVolumeL, tankLoads } from '../agronomy/spraying.ts';
import { toleranceOf, toleranceRefusal } from '../agronomy/tolerance.ts';
import type { Product } from '../model/farm.ts';
import { done, type Outcome, type Problem, problem, refused } from '../model/problem.ts';
import { alongEdgeM } from './edge-error.ts';
import { isUnit, quantityOf, toSI, type UnitId } from '../units/units.ts';

export interface HandOffInput {
  readonly field: string;
  readonly crop: string;
  readonly tolerates: readonly string[] | 'not stated';
  readonly product: Product;
  /** As typed from the label, in `unit` per area. */
  readonly ratePerArea: number;
  readonly unit: UnitId;
  /** Spray volume, L/ha; null for a dry product. */
  readonly carrierLHa: number | null;
  readonly tankL: number | null;
  /** Width of one section of the boom, m; null where it is not told. */
  readonly sectionM: number | null;
  readonly zones: readonly { readonly id: string; readonly areaM2: number }[];
  /** Shares of the full label rate of each ingredient that this season already got here. */
  readonly alreadyThisSeason: Readonly<Record<string, number>>;
  readonly neighbors: readonly NearNeighbor[];
}

export interface NearNeighbor {
  readonly note: string;
  readonly kind: string;
  /** From the field's boundary; 0 inside. */
  readonly distanceM: number;
}

export interface HandOff {
  readonly field: string;
  readonly product: string;
  readonly ingredients: readonly { readonly ingredient: string; readonly group: string }[];
  readonly ratePerArea: number;
  readonly unit: UnitId;
  /** Share of the full label rate as typed. */
  readonly rateFraction: number;
  readonly areaM2: number;
  readonly zones: readonly { readonly id: string; readonly areaM2: number; readonly product: number }[];
  /** In the rate's own amount (L, kg …, by `amountUnit`). */
  readonly productTotal: number;
  readonly amountUnit: string;
  readonly volumeL: number | null;
  readonly loads: {
    readonly count: number;
    readonly fullL: number;
    readonly lastL: number;
    readonly productPerFull: number;
    readonly productInLast: number;
  } | null;
  /** Along an edge of a zone, sections switched at their middle: mean width treated beyond it and missed within it. */
  readonly alongEdge: { readonly sectionM: number; readonly overM: number; readonly missedM: number } | null;
  /** Homes, hives, crops and water within reach of drift or of a buffer, nearest first. */
  readonly neighbors: readonly NearNeighbor[];
  readonly cautions: readonly Caution[];
}

/** Neighbors nearer than this stand on the order (*assumed*: farther than any usual buffer). */
const NEAR_M = 1000;

/** Refused where the crop's tolerance is not stated or not given, and where the rate leaves the label's limits. */
export function handOff(input: HandOffInput): Outcome<HandOff> {
  const { product, ratePerArea, unit, field } = input;
  const problems: Problem[] = [];
  if (!(ratePerArea > 0) || !Number.isFinite(ratePerArea)) {
    return refused(
      problem('error', 'rate-missing', `The rate of ${product.name} is ${ratePerArea}.`, {
        hint: 'Type it from the product label.',
      }),
    );
  }
  if (product.unit !== unit) {
    if (!isUnit(product.unit) || quantityOf(product.unit) !== quantityOf(unit)) {
      return refused(
        problem(
          'error',
          'rate-unit',
          `The label of ${product.name} gives rates in ${product.unit}; ${unit} is another kind of quantity.`,
          { hint: `Type the rate in ${product.unit}.` },
        ),
      );
    }
  }
  const inLabelUnit = product.unit === unit ? ratePerArea : toSI(ratePerArea, unit) / toSI(1, product.unit as UnitId);
  for (const part of product.parts) {
    const refusal = toleranceRefusal(toleranceOf(input.tolerates, part.ingredient, part.group), {
      ingredient: part.ingredient,
      crop: input.crop,
      field,
    });
    if (refusal) problems.push(refusal);
  }
  const { full, low, high, seasonMax } = product.label;
  const most = high ?? full;
  const slack = 1e-9 * most;
  if (inLabelUnit > most + slack) {
    problems.push(
      problem(
        'error',
        'above-label',
        `${inLabelUnit} ${product.unit} is above the highest rate of ${product.name} as typed from its label (${most}).`,
        { hint: 'The label is the law: lower the rate, or correct what was typed.' },
      ),
    );
  }
  const already = Math.max(0, ...product.parts.map((part) => input.alreadyThisSeason[part.ingredient] ?? 0)) * full;
  if (seasonMax !== undefined && already + inLabelUnit > seasonMax + slack) {
    problems.push(
      problem(
        'error',
        'above-season-maximum',
        `With what ${field} already got, ${product.name} would come to ${(already + inLabelUnit).toFixed(2)} ${product.unit} this season; its label as typed allows ${seasonMax}.`,
      ),
    );
  }
  const { carrierLHaMin } = product.label;
  if (carrierLHaMin !== undefined && input.carrierLHa !== null && input.carrierLHa < carrierLHaMin - slack) {
    problems.push(
      problem(
        'error',
        'below-carrier',
        `${input.carrierLHa} L/ha is below the least spray volume of ${product.name} as typed from its label (${carrierLHaMin} L/ha).`,
      ),
    );
  }
  if (problems.some((one) => one.level === 'error')) return { ok: false, problems };
  if (low !== undefined && inLabelUnit < low - slack) {
    problems.push(
      problem(
        'warning',
        'below-label',
        `${inLabelUnit} ${product.unit} is below the lowest rate on the label as typed (${low}): shorter cover, by an amount nobody knows well.`,
      ),
    );
  }

  const areaM2 = input.zones.reduce((sum, zone) => sum + zone.areaM2, 0);
  const perHa = perHectare(ratePerArea, unit);
  const total = productTotal(areaM2, perHa.amount);
  const volumeL = input.carrierLHa === null ? null : sprayVolumeL(areaM2, input.carrierLHa);
  const loads = volumeL === null || input.tankL === null ? null : tankLoads(volumeL, input.tankL);
  return done(
    {
      field,
      product: product.name,
      ingredients: product.parts.map(({ ingredient, group }) => ({ ingredient, group })),
      ratePerArea,
      unit,
      rateFraction: inLabelUnit / full,
      areaM2,
      zones: input.zones.map((zone) => ({ ...zone, product: productTotal(zone.areaM2, perHa.amount) })),
      productTotal: total,
      amountUnit: perHa.unit,
      volumeL,
      loads: loads && {
        count: loads.loads,
        fullL: loads.fullL,
        lastL: loads.lastL,
        productPerFull: productPerLoad(loads.fullL, input.carrierLHa!, perHa.amount),
        productInLast: productPerLoad(loads.lastL, input.carrierLHa!, perHa.amount),
      },
      alongEdge: input.sectionM === null ? null : { sectionM: input.sectionM, ...alongEdgeM(input.sectionM, 'centre') },
      neighbors: input.neighbors.filter((one) => one.distanceM <= NEAR_M).sort((a, b) => a.distanceM - b.distanceM),
      cautions: cautionsFor(['product', 'rate', 'machine', 're-entry']),
    },
    problems,
  );
}

/** "1.2 L/ha" → 1.2 L a hectare; "20 fl oz/ac" → the same liquid in fl oz a hectare. */
function perHectare(rate: number, unit: UnitId): { amount: number; unit: string } {
  const [amountUnit, areaUnit] = unit.split('/') as [string, string];
  return { amount: areaUnit === 'ac' ? rate / toHectares('ac') : rate / toHectares('ha'), unit: amountUnit };
}

const toHectares = (unit: 'ac' | 'ha') => toSI(1, unit) / 10_000;
