/** What was typed, read into a hand-off, or told what is wrong, each at the entry that caused it. */
import type { FieldStudy } from '../../../shared/analysis/study.ts';
import type { Choice, Farm, Field, Machine, PassOrder } from '../../../shared/model/farm.ts';
import type { Outcome, Problem } from '../../../shared/model/problem.ts';
import { shownUnit } from '../../../shared/units/format.ts';
import { neededNumber, typedNumber } from '../../../shared/units/typed-number.ts';
import { fromSI } from '../../../shared/units/units.ts';
import { handOff, type HandOff, type TypedRate } from '../../../shared/zones/hand-off.ts';
import { orderFacts } from '../../../shared/zones/order-facts.ts';
import type { OrderDraft } from './order-draft.svelte.ts';

export interface ReadOrder {
  /** By entry: "rate 0", "volume", "share", "tolerates", "zones", "products". */
  readonly wrong: Readonly<Record<string, string>>;
  /** Told besides what is wrong: below the label, a neighbor within its buffer. */
  readonly warnings: readonly Problem[];
  /** null where something is wrong or not typed yet. */
  readonly order: HandOff | null;
  /** True where nothing is wrong, and something is only not typed yet. */
  readonly waits: boolean;
  readonly rates: Choice['rates'];
  readonly passOrder: PassOrder;
}

export interface OrderPlace {
  readonly farm: Farm;
  readonly field: Field;
  readonly study: FieldStudy;
  readonly season: number;
  readonly sprayer: Machine | null;
}

export function readOrder(draft: Draft, { farm, field, study, season, sprayer }: OrderPlace): ReadOrder {
  const wrong: Record<string, string> = {};
  const rates: TypedRate[] = [];
  let waits = false;
  draft.lines.forEach((line, at) => {
    const product = farm.products.find((one) => one.id === line.product);
    if (!product || line.rate.trim() === '') return void (waits = true);
    const read = neededNumber(line.rate, { what: 'The rate', unit: line.unit, least: 0, above: true });
    if ('wrong' in read) wrong[`rate ${at}`] = read.wrong;
    else rates.push({ product, ratePerArea: Number(fromSI(read.value, line.unit).toPrecision(12)), unit: line.unit });
  });
  const volume = typedNumber(draft.volume, {
    what: 'The spray volume',
    unit: shownUnit('volume per area', farm.display),
    least: 0,
    above: true,
  });
  if ('wrong' in volume) wrong['volume'] = volume.wrong;
  const volumeLHa = 'value' in volume ? volume.value : null;
  const outsideFraction = draft.where === 'zones' && draft.outside === 'share' ? shareOf(draft, wrong) : 0;
  if (outsideFraction === null) waits = true;
  const passOrder: PassOrder = {
    pass: draft.pass,
    where: draft.where,
    volumeLHa,
    outsideFraction: outsideFraction ?? 0,
    positionLost: draft.positionLost === 'outside rate' && !outsideFraction ? 'nothing' : draft.positionLost,
  };
  const kept = rates.map(({ product, ratePerArea, unit }) => ({
    pass: draft.pass,
    product: product.id,
    perArea: ratePerArea,
    unit,
    rateMeans: draft.rateMeans,
  }));
  const bare = { wrong, warnings: [], order: null, waits, rates: kept, passOrder };
  if (Object.keys(wrong).length > 0 || (waits && rates.length === 0)) return bare;

  const outcome = outcomeOf(draft, rates, passOrder, { farm, field, study, season, sprayer });
  for (const one of outcome.problems) {
    if (one.level !== 'error') continue;
    const key = entryOf(one, draft);
    wrong[key] ??= one.hint ? `${one.text} ${one.hint}` : one.text;
  }
  return {
    ...bare,
    warnings: outcome.problems.filter((one) => one.level !== 'error'),
    order: outcome.ok && !waits ? outcome.value : null,
  };
}

type Draft = Pick<
  OrderDraft,
  'lines' | 'volume' | 'where' | 'leftOut' | 'outside' | 'share' | 'positionLost' | 'rateMeans' | 'pass'
>;

function outcomeOf(draft: Draft, rates: readonly TypedRate[], order: PassOrder, place: OrderPlace): Outcome<HandOff> {
  const { farm, field, study, season, sprayer } = place;
  const zones =
    draft.where === 'field'
      ? [{ id: 'whole field', areaM2: study.areaM2 }]
      : study.zones.filter((one) => !draft.leftOut.includes(one.id)).map(({ id, areaM2 }) => ({ id, areaM2 }));
  const zonesM2 = zones.reduce((sum, one) => sum + one.areaM2, 0);
  return handOff({
    ...orderFacts(farm, field, season, sprayer),
    rates,
    carrierLHa: order.volumeLHa,
    zones,
    outside: {
      areaM2: draft.where === 'field' ? 0 : Math.max(0, study.areaM2 - zonesM2),
      fraction: order.outsideFraction,
    },
    positionLost: order.positionLost,
  });
}

/** null where it is not typed yet. */
function shareOf(draft: Draft, wrong: Record<string, string>): number | null {
  const read = typedNumber(draft.share, { what: 'The share', unit: '%', least: 0, above: true, most: 200 });
  if ('wrong' in read) wrong['share'] = read.wrong;
  return 'value' in read ? read.value : null;
}

function entryOf({ where }: Problem, draft: Draft): string {
  const at = draft.lines.findIndex((line) => line.product === where?.id);
  switch (where?.column) {
    case 'rate':
    case 'unit':
      return `rate ${at}`;
    case 'outside':
      return 'share';
    default:
      return where?.column ?? 'products';
  }
}
