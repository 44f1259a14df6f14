import { applyEdit } from '../../../shared/model/edit.ts';
import type { Choice, Farm, Field, PassOrder } from '../../../shared/model/farm.ts';
import { studySeason } from '../../../shared/model/lookups.ts';
import { keepOrder } from '../../../shared/model/plan-edits.ts';
import { type Problem, problem } from '../../../shared/model/problem.ts';
import { isUnit } from '../../../shared/units/units.ts';
import { handOff, type PositionLost, type TypedRate } from '../../../shared/zones/hand-off.ts';
import { orderFacts } from '../../../shared/zones/order-facts.ts';
import type { Command } from '../command.ts';
import { type FarmStore } from '../farm-store.ts';
import { openOrTell } from '../opened.ts';
import { printJson, printProblems } from '../print.ts';
import { printOrder } from '../print-order.ts';
import { runStudy } from './study.ts';

type Options = Readonly<Record<string, readonly string[]>>;

export const orderCommand: Command = {
  name: 'order',
  words: 'FARM',
  summary: 'totals, tank loads and cautions for one pass, with rates that you type from the labels',
  more: 'Refused where the crop’s tolerance of an ingredient is not stated, and where a rate leaves its label’s limits as typed. The tool proposes no rate. Several products go into one tank: give --product and --rate once each, in the same order.',
  examples: [
    'order my-farm --field west --product my-product --rate 1.2 --volume 150',
    'order my-farm --field west --product one --rate 1.2 --product two --rate 0.5 --outside 70',
  ],
  options: [
    { name: 'field', value: 'ID', help: 'the field' },
    { name: 'product', value: 'ID', many: true, help: 'a product of the farm, with its label typed in' },
    { name: 'rate', value: 'NUMBER', many: true, help: 'rate per area, typed from the label' },
    { name: 'unit', value: 'UNIT', many: true, help: 'its unit, such as L/ha or fl oz/ac; else the product’s own' },
    { name: 'volume', value: 'L_PER_HA', help: 'spray volume, L/ha' },
    { name: 'season', value: 'YEAR', help: 'season of the pass; else the one after the last scouted' },
    { name: 'whole-field', help: 'the whole field, not its zones' },
    { name: 'outside', value: 'PERCENT', help: 'outside the zones, this share of the zones’ rate; else nothing' },
    {
      name: 'position-lost',
      value: 'nothing|outside|zone',
      help: 'what goes out where the position is lost; else nothing',
    },
    { name: 'keep', help: 'keep the rates in the farm’s plan' },
    { name: 'program', value: 'ID', help: 'with --keep: the program that the pass belongs to' },
    { name: 'pass', value: 'ID', help: 'with --keep: the pass' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const { farm } = store;
    const asked = askedOf(farm, options);
    if (typeof asked === 'string') {
      host.err(`${asked}\n`);
      return 2;
    }
    const { field, rates, season, volumeLHa, outsideFraction, positionLost } = asked;
    const { study } = runStudy(host, store);
    const found = study.fields.find((one) => one.id === field.id)!;
    const whole = options['whole-field'] !== undefined || found.zones.length === 0;
    const zones = whole ? [{ id: `${field.id} (whole field)`, areaM2: found.areaM2 }] : found.zones;
    const outsideM2 = whole ? 0 : Math.max(0, found.areaM2 - zones.reduce((sum, zone) => sum + zone.areaM2, 0));
    const outcome = handOff({
      ...orderFacts(farm, field, season),
      rates,
      carrierLHa: volumeLHa,
      zones,
      outside: { areaM2: outsideM2, fraction: outsideFraction },
      positionLost,
    });
    if (!outcome.ok) {
      if (json) printJson(host, { refused: true, problems: outcome.problems });
      printProblems(host, outcome.problems);
      return 2;
    }
    const order = { where: whole ? ('field' as const) : ('zones' as const), volumeLHa, outsideFraction, positionLost };
    const kept = options['keep'] === undefined ? [] : keep(store, { field, season }, rates, options, order);
    const problems = [...outcome.problems, ...kept];
    if (json) printJson(host, { ...outcome.value, problems });
    else {
      printOrder(host, outcome.value, farm, season);
      printProblems(host, problems);
    }
    return problems.some((one) => one.level === 'error') ? 1 : 0;
  },
};

interface Asked {
  readonly field: Field;
  readonly rates: readonly TypedRate[];
  readonly season: number;
  readonly volumeLHa: number | null;
  readonly outsideFraction: number;
  readonly positionLost: PositionLost;
}

const LOST: Readonly<Record<string, PositionLost>> = {
  nothing: 'nothing',
  outside: 'outside rate',
  zone: 'zone rate',
};

/** What the words ask for, or the sentence that says what is missing. */
function askedOf(farm: Farm, options: Options): Asked | string {
  const field = farm.fields.find((one) => one.id === options['field']?.[0]);
  if (!field) return `Say which field: --field ${farm.fields.map((one) => one.id).join('|')}.`;
  const ids = options['product'] ?? [];
  const products = ids.map((id) => farm.products.find((one) => one.id === id));
  if (products.length === 0 || products.includes(undefined)) {
    const known = farm.products.map((one) => one.id).join('|');
    return `Say which product: --product ${known || '(the farm has none: type one in from its label)'}.`;
  }
  const typed = options['rate'] ?? [];
  if (typed.length !== products.length) {
    return products.length === 1
      ? 'Type the rate from the product label: --rate NUMBER.'
      : `Type a rate from its label for each product, in their order: ${products.length} are needed.`;
  }
  const units = options['unit'] ?? [];
  if (units.length > 1 && units.length !== products.length) return 'Give --unit once, or once for each product.';
  const rates: TypedRate[] = [];
  for (const [index, product] of products.entries()) {
    const unit = units[index] ?? units[0] ?? product!.unit;
    if (!isUnit(unit)) return `"${unit}" is not a unit that is known here.`;
    rates.push({ product: product!, ratePerArea: Number(typed[index]), unit });
  }
  const season = Number(options['season']?.[0] ?? (studySeason(farm) ?? 0) + 1);
  const volumeLHa = options['volume'] === undefined ? null : Number(options['volume'][0]);
  const outside = Number(options['outside']?.[0] ?? 0);
  if (!Number.isInteger(season) || (volumeLHa !== null && !(volumeLHa > 0))) return 'Season and volume need numbers.';
  if (!(outside >= 0)) return 'Outside the zones needs a share in per cent: --outside 70.';
  const positionLost = LOST[options['position-lost']?.[0] ?? 'nothing'];
  if (!positionLost) return `Where the position is lost: --position-lost ${Object.keys(LOST).join('|')}.`;
  if (positionLost === 'outside rate' && outside === 0)
    return 'Outside the zones nothing goes out: say --outside PERCENT, or --position-lost nothing.';
  return { field, rates, season, volumeLHa, outsideFraction: outside / 100, positionLost };
}

function keep(
  store: FarmStore,
  { field, season }: { readonly field: Field; readonly season: number },
  typed: readonly TypedRate[],
  options: Options,
  order: Omit<PassOrder, 'pass'>,
): Problem[] {
  const { farm } = store;
  const program = farm.programs.find((one) => one.id === options['program']?.[0]);
  const pass = program?.passes.find((one) => one.id === options['pass']?.[0]);
  if (!program || !pass) {
    return [
      problem('error', 'plan-place', 'The rate was not kept: it needs the program and pass that it belongs to.', {
        hint: '--program ID --pass ID',
      }),
    ];
  }
  const rates: Choice['rates'] = typed.map(({ product, ratePerArea, unit }) => ({
    pass: pass.id,
    product: product.id,
    perArea: ratePerArea,
    unit,
    rateMeans: 'product',
  }));
  const edit = keepOrder(farm, { season, field: field.id, program: program.id }, rates, { pass: pass.id, ...order });
  return store.save(applyEdit(farm, edit).farm, []);
}
