/** What stands against a hand-off: tolerance not stated, a rate outside its label as the person typed it, a volume too small. */
import { toleranceOf, toleranceRefusal } from '../agronomy/tolerance.ts';
import { type Place, problem, type Problem } from '../model/problem.ts';
import { formatNumber, formatQuantity } from '../units/format.ts';
import type { HandOffInput, TypedRate } from './hand-off.ts';
import { perHectare, rateInLabelUnit } from './label-rate.ts';

/** Relative: a rate this much over a limit is rounding of units. */
const ROUNDING = 1e-9;

export function labelProblems(input: HandOffInput): Problem[] {
  const { rates } = input;
  if (rates.length === 0) {
    return [
      problem('error', 'product-missing', 'No product is chosen.', {
        where: { column: 'products' },
        hint: 'Choose what the pass sprays, with its label typed in.',
      }),
    ];
  }
  const twice = rates.find(({ product }, i) => rates.some((one, j) => j < i && one.product.id === product.id));
  return [
    ...(twice ? [oneTank(twice)] : []),
    ...zoneProblems(input),
    ...rates.flatMap((rate) => toleranceProblems(input, rate)),
    ...rates.flatMap((rate) => rateProblems(input, rate)),
    ...volumeProblems(input),
    ...neighborProblems(input),
  ];
}

function oneTank({ product }: TypedRate): Problem {
  return problem('error', 'product-twice', `${product.name} is in the tank twice.`, {
    where: at(product.id, 'rate'),
    hint: 'Take one of the two lines away.',
  });
}

function zoneProblems({ zones, field }: HandOffInput): Problem[] {
  if (zones.length > 0) return [];
  return [
    problem('error', 'zones-missing', `${field} has no zones to treat.`, {
      where: { column: 'zones' },
      hint: 'Choose the whole field, or draw zones in the plan.',
    }),
  ];
}

function toleranceProblems({ tolerates, crop, field }: HandOffInput, { product }: TypedRate): Problem[] {
  return product.parts.flatMap(({ ingredient, group }) => {
    const refusal = toleranceRefusal(toleranceOf(tolerates, ingredient, group), { ingredient, crop, field });
    return refusal ? [{ ...refusal, where: at(product.id, 'tolerates') }] : [];
  });
}

function rateProblems(input: HandOffInput, rate: TypedRate): Problem[] {
  const { product, ratePerArea, unit } = rate;
  const where = at(product.id, 'rate');
  if (!(ratePerArea > 0) || !Number.isFinite(ratePerArea)) {
    return [
      problem('error', 'rate-missing', `The rate of ${product.name} is ${ratePerArea}.`, {
        where,
        hint: 'Type it from the product label.',
      }),
    ];
  }
  const inLabelUnit = rateInLabelUnit(rate);
  if (inLabelUnit === null) {
    return [
      problem(
        'error',
        'rate-unit',
        `The label of ${product.name} gives rates in ${product.unit}; ${unit} is another kind of quantity.`,
        { where: at(product.id, 'unit'), hint: `Type the rate in ${product.unit}.` },
      ),
    ];
  }
  const { full, low, high, seasonMax } = product.label;
  const most = high ?? full;
  const told = `${text(inLabelUnit)} ${product.unit}`;
  const problems: Problem[] = [];
  if (inLabelUnit > most * (1 + ROUNDING)) {
    problems.push(
      problem(
        'error',
        'above-label',
        `${told} is above the highest rate of ${product.name} as typed from its label (${text(most)}).`,
        { where, hint: 'The label is the law: lower the rate, or correct what was typed.' },
      ),
    );
  }
  if (seasonMax !== undefined) {
    const sum = seasonSum(input, rate, inLabelUnit);
    if (sum > seasonMax * (1 + ROUNDING)) {
      problems.push(
        problem(
          'error',
          'above-season-maximum',
          `With what ${input.field} already got${input.rates.length > 1 ? ' and what else is in the tank' : ''}, ${product.name} would come to ${sum.toFixed(2)} ${product.unit} this season; its label as typed allows ${text(seasonMax)}.`,
          { where, hint: 'Lower the rate, or choose another product.' },
        ),
      );
    }
  }
  const { fraction, areaM2 } = input.outside;
  if (fraction > 0 && areaM2 > 0 && inLabelUnit * fraction > most * (1 + ROUNDING)) {
    problems.push(
      problem(
        'error',
        'outside-above-label',
        `Outside the zones ${product.name} would go out at ${text(inLabelUnit * fraction)} ${product.unit}, above the highest rate as typed from its label (${text(most)}).`,
        { where: { column: 'outside' }, hint: 'Lower the share outside the zones.' },
      ),
    );
  }
  const least = fraction > 0 && areaM2 > 0 ? inLabelUnit * Math.min(1, fraction) : inLabelUnit;
  if (low !== undefined && least < low * (1 - ROUNDING)) {
    const outside = inLabelUnit >= low * (1 - ROUNDING);
    problems.push(
      problem(
        'warning',
        'below-label',
        `${outside ? `Outside the zones ${text(least)} ${product.unit}` : told} is below the lowest rate of ${product.name} on its label as typed (${text(low)}): shorter cover, by an amount nobody knows well.`,
        { where: outside ? { column: 'outside' } : where },
      ),
    );
  }
  return problems;
}

/**
 * A product's amount this season in its label's unit: this pass, what the field already got of its ingredients as shares of the full
 * rate, and the same ingredients from other products of the tank, by their grams.
 */
function seasonSum(input: HandOffInput, rate: TypedRate, inLabelUnit: number): number {
  const { product } = rate;
  const sums = product.parts.map(({ ingredient, gPerUnit }) => {
    const already = (input.alreadyThisSeason[ingredient] ?? 0) * product.label.full;
    const gramsBeside = input.rates
      .filter((one) => one.product.id !== product.id)
      .reduce((sum, one) => sum + gramsPerHa(one, ingredient), 0);
    const gramsPerUnitHa = perHectare(1, unitOf(product, rate)).amount * gPerUnit;
    return already + inLabelUnit + gramsBeside / gramsPerUnitHa;
  });
  return Math.max(...sums);
}

/** The label's unit is known to be one here: `rateInLabelUnit` has been asked. */
function unitOf(product: TypedRate['product'], rate: TypedRate): TypedRate['unit'] {
  return product.unit === rate.unit ? rate.unit : (product.unit as TypedRate['unit']);
}

function gramsPerHa(rate: TypedRate, ingredient: string): number {
  const part = rate.product.parts.find((one) => one.ingredient === ingredient);
  const inLabelUnit = rateInLabelUnit(rate);
  if (!part || inLabelUnit === null) return 0;
  return perHectare(inLabelUnit, unitOf(rate.product, rate)).amount * part.gPerUnit;
}

function volumeProblems({ rates, carrierLHa, outside, display }: HandOffInput): Problem[] {
  if (carrierLHa === null) return [];
  if (!(carrierLHa > 0) || !Number.isFinite(carrierLHa)) {
    return [
      problem('error', 'volume-missing', `The spray volume is ${carrierLHa}.`, {
        where: { column: 'volume' },
        hint: 'Type the volume that the sprayer is set to, within every label in the tank.',
      }),
    ];
  }
  const volume = (value: number) => formatQuantity(value, 'volume per area', display);
  const treated = outside.areaM2 > 0 && outside.fraction > 0 ? carrierLHa * Math.min(1, outside.fraction) : carrierLHa;
  return rates.flatMap(({ product }): Problem[] => {
    const least = product.label.carrierLHaMin;
    if (least === undefined || treated >= least * (1 - ROUNDING)) return [];
    const isOutside = carrierLHa >= least * (1 - ROUNDING);
    return [
      problem(
        'error',
        'below-carrier',
        `${isOutside ? 'Outside the zones ' : ''}${volume(treated)} is below the least spray volume of ${product.name} as typed from its label (${volume(least)}).`,
        {
          where: { column: isOutside ? 'outside' : 'volume' },
          hint: isOutside ? 'Raise the share outside the zones, or the spray volume.' : 'Raise the spray volume.',
        },
      ),
    ];
  });
}

function neighborProblems({ rates, neighbors, display }: HandOffInput): Problem[] {
  const length = (value: number) => formatQuantity(value, 'length', display);
  return rates.flatMap(({ product }) => {
    const { bufferM } = product.label;
    if (bufferM === undefined) return [];
    return neighbors
      .filter((one) => one.distanceM < bufferM)
      .map((one) =>
        problem(
          'warning',
          'neighbor-in-buffer',
          `${one.note} It is ${one.distanceM === 0 ? 'in the field' : `${length(one.distanceM)} from the field`}; the buffer of ${product.name} as typed from its label is ${length(bufferM)}.`,
          {
            where: { column: 'zones' },
            hint: 'Keep the buffer: exclude the ground beside it, or leave this product out.',
          },
        ),
      );
  });
}

function at(id: string, column: string): Place {
  return { id, column };
}

/** At most six figures, as the person would have typed it. */
function text(value: number): string {
  const digits = Math.max(0, Math.min(6, 5 - Math.floor(Math.log10(Math.abs(value) || 1))));
  const fixed = formatNumber(value, digits);
  return fixed.includes('.') ? fixed.replace(/\.?0+$/, '') : fixed;
}
