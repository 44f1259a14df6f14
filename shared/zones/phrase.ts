/** A sentence with measures in it, kept as data: it is said in the units that the person reads, whenever they change. */
import { type Display, formatNumber, formatQuantity } from '../units/format.ts';
import { fromSI, toSI } from '../units/units.ts';

export type Measure = { readonly lengthM: number } | { readonly areaM2: number };
export type Phrase = readonly (string | Measure)[];

/** phrase`Grown by ${{ lengthM: 5 }}.` */
export function phrase(
  texts: TemplateStringsArray,
  ...between: readonly (string | number | Measure | Phrase)[]
): Phrase {
  return texts.flatMap((text, index): Phrase => {
    const next = between[index];
    if (next === undefined) return [text];
    if (Array.isArray(next)) return [text, ...(next as Phrase)];
    return [text, typeof next === 'number' ? String(next) : (next as string | Measure)];
  });
}

export function inWords(said: Phrase, display: Display): string {
  return said
    .map((one) =>
      typeof one === 'string' ? one : 'lengthM' in one ? length(one.lengthM, display) : area(one.areaM2, display),
    )
    .join('');
}

function length(valueM: number, display: Display): string {
  return display === 'us' ? formatQuantity(valueM, 'length', 'us', 0) : `${Number(valueM.toFixed(1))} m`;
}

/** Small ground in square feet or meters, larger in acres or hectares. */
function area(valueM2: number, display: Display): string {
  if (display === 'metric') return valueM2 >= 1e4 ? `${(valueM2 / 1e4).toFixed(2)} ha` : `${Math.round(valueM2)} m²`;
  if (valueM2 >= toSI(0.1, 'ac')) return formatQuantity(valueM2, 'area', 'us');
  return `${formatNumber(fromSI(valueM2, 'ft2'), 0)} ft²`;
}
