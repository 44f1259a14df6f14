import { applyEdit } from '../../../shared/model/edit.ts';
import { cropOf, studySeason } from '../../../shared/model/lookups.ts';
import { type Problem, problem } from '../../../shared/model/problem.ts';
import { formatQuantity } from '../../../shared/units/format.ts';
import { isUnit, type UnitId } from '../../../shared/units/units.ts';
import { createFrame } from '../../../shared/geometry/local-frame.ts';
import { toLocalPolygon } from '../../../shared/geometry/polygon.ts';
import { distanceToPolygonM } from '../../../shared/geometry/polygon-distance.ts';
import type { MultiPolygon } from '../../../shared/geometry/types.ts';
import { handOff, type HandOff, type NearNeighbor } from '../../../shared/zones/hand-off.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import type { Command } from '../command.ts';
import { openFarm } from '../farm-store.ts';
import type { Host } from '../host.ts';
import { paragraph, printJson, printProblems, table } from '../print.ts';
import { runStudy } from './study.ts';

export const orderCommand: Command = {
  name: 'order',
  words: 'FARM',
  summary: 'totals, tank loads and cautions for one pass, with a rate that you type from the label',
  more: 'Refused where the crop’s tolerance of an ingredient is not stated, and where the rate leaves the label’s limits as typed. The tool proposes no rate.',
  examples: ['order my-farm --field west --product my-product --rate 1.2 --volume 150'],
  options: [
    { name: 'field', value: 'ID', help: 'the field' },
    { name: 'product', value: 'ID', help: 'a product of the farm, with its label typed in' },
    { name: 'rate', value: 'NUMBER', help: 'rate per area, typed from the label' },
    { name: 'unit', value: 'UNIT', help: 'its unit, such as L/ha or fl oz/ac; else the product’s own' },
    { name: 'volume', value: 'L_PER_HA', help: 'spray volume, L/ha' },
    { name: 'season', value: 'YEAR', help: 'season of the pass; else the one after the last scouted' },
    { name: 'whole-field', help: 'the whole field, not its zones' },
    { name: 'keep', help: 'keep the rate in the farm’s plan' },
    { name: 'program', value: 'ID', help: 'with --keep: the program that the pass belongs to' },
    { name: 'pass', value: 'ID', help: 'with --keep: the pass' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const opened = openFarm(host, words[0]!);
    if (!opened.ok) {
      printProblems(host, opened.problems);
      return 2;
    }
    const store = opened.value;
    const { farm } = store;
    const field = farm.fields.find((one) => one.id === options['field']?.[0]);
    const product = farm.products.find((one) => one.id === options['product']?.[0]);
    const rate = Number(options['rate']?.[0]);
    const wrong = !field
      ? `Say which field: --field ${farm.fields.map((one) => one.id).join('|')}.`
      : !product
        ? `Say which product: --product ${farm.products.map((one) => one.id).join('|') || '(the farm has none: type one in from its label)'}.`
        : options['rate'] === undefined
          ? 'Type the rate from the product label: --rate NUMBER.'
          : null;
    if (wrong !== null || !field || !product) {
      host.err(`${wrong}\n`);
      return 2;
    }
    const unit = options['unit']?.[0] ?? product.unit;
    const season = Number(options['season']?.[0] ?? (studySeason(farm) ?? 0) + 1);
    const volume = options['volume'] === undefined ? null : Number(options['volume'][0]);
    if (!isUnit(unit) || !Number.isInteger(season) || (volume !== null && !(volume > 0))) {
      host.err(!isUnit(unit) ? `"${unit}" is not a unit that is known here.\n` : 'Season and volume need numbers.\n');
      return 2;
    }
    const { study } = runStudy(host, store);
    const found = study.fields.find((one) => one.id === field.id)!;
    const whole = options['whole-field'] !== undefined || found.zones.length === 0;
    const crop = cropOf(farm, field.id, season);
    const outcome = handOff({
      field: field.name,
      crop: crop?.crop ?? `crop of ${season}`,
      tolerates: crop?.tolerates ?? 'not stated',
      product,
      ratePerArea: rate,
      unit,
      carrierLHa: volume,
      sectionM: sectionOf(farm),
      tankL: farm.machines.find((one) => one.kind === 'sprayer')?.tankL ?? null,
      zones: whole ? [{ id: `${field.id} (whole field)`, areaM2: found.areaM2 }] : found.zones,
      alreadyThisSeason: sprayedAlready(farm, field.id, season),
      neighbors: neighborsOf(farm, field),
    });
    if (!outcome.ok) {
      if (json) printJson(host, { refused: true, problems: outcome.problems });
      printProblems(host, outcome.problems);
      return 2;
    }
    let problems = outcome.problems;
    if (options['keep'] !== undefined)
      problems = [...problems, ...keep(store, field.id, season, options, product.id, rate, unit)];
    if (json) printJson(host, { ...outcome.value, problems });
    else {
      print(host, outcome.value, farm, season);
      printProblems(host, problems);
    }
    return problems.some((one) => one.level === 'error') ? 1 : 0;
  },
};

function keep(
  store: { farm: Farm; save(farm: Farm, attachments: readonly never[]): Problem[] },
  field: string,
  season: number,
  options: Readonly<Record<string, readonly string[]>>,
  product: string,
  rate: number,
  unit: UnitId,
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
  const rates = [{ pass: pass.id, product, perArea: rate, unit, rateMeans: 'product' as const }];
  const others = farm.plan.filter(
    (one) => !(one.season === season && 'field' in one.target && one.target.field === field),
  );
  const value = [...others, { season, target: { field }, program: program.id, rates }];
  const edit = { label: `Keep the rate of ${product} on ${field}`, sets: [{ path: ['plan'], value }] };
  return store.save(applyEdit(farm, edit).farm, []);
}

function sprayedAlready(farm: Farm, field: string, season: number): Record<string, number> {
  const sums: Record<string, number> = {};
  for (const one of farm.seasons.find((it) => it.year === season)?.sprayed ?? []) {
    if (one.where.field !== field) continue;
    for (const part of one.parts) sums[part.ingredient] = (sums[part.ingredient] ?? 0) + part.rateFraction;
  }
  return sums;
}

function sectionOf(farm: Farm): number | null {
  const boom = farm.machines.find((one) => one.kind === 'sprayer')?.boom;
  return boom ? boom.widthM / boom.sections : null;
}

/** Each neighbor with its distance from the field's boundary. */
function neighborsOf(farm: Farm, field: Farm['fields'][number]): NearNeighbor[] {
  const frame = createFrame(field.frameOrigin);
  const boundary = toLocalPolygon(frame, field.boundary as MultiPolygon);
  return farm.neighbors.map((one) => {
    const places = 'at' in one ? [one.at] : one.area.flat(2);
    const distances = places.map(([lon, lat]) => distanceToPolygonM(boundary, ...frame.toLocal(lon, lat)));
    return { note: one.note, kind: one.kind, distanceM: Math.min(...distances) };
  });
}

function print(host: Host, order: HandOff, farm: Farm, season: number): void {
  const { display } = farm;
  const amount = (value: number) => `${Number(value.toPrecision(5))} ${order.amountUnit}`;
  host.out(`Work order: ${order.field}, ${season}${farm.invented ? ' (an invented farm)' : ''}\n`);
  host.out(
    `  ${order.product} (${order.ingredients.map((one) => `${one.ingredient}, group ${one.group}`).join('; ')})\n`,
  );
  host.out(
    `  ${order.ratePerArea} ${order.unit}, as typed from the label: ${Math.round(100 * order.rateFraction)} % of the full rate typed\n\n`,
  );
  host.out(
    table(
      [{ title: 'zone' }, { title: 'area', right: true }, { title: 'product', right: true }],
      [
        ...order.zones.map((zone) => [zone.id, formatQuantity(zone.areaM2, 'area', display), amount(zone.product)]),
        ['in all', formatQuantity(order.areaM2, 'area', display), amount(order.productTotal)],
      ],
    ),
  );
  if (order.volumeL !== null) host.out(`  spray volume ${formatQuantity(order.volumeL / 1000, 'volume', display)}\n`);
  if (order.loads) {
    const { count, fullL, lastL, productPerFull, productInLast } = order.loads;
    const full =
      count > 1
        ? `${count - 1} of ${formatQuantity(fullL / 1000, 'volume', display)} with ${amount(productPerFull)}, the last`
        : 'one';
    host.out(
      `  tank loads: ${full} of ${formatQuantity(lastL / 1000, 'volume', display)} with ${amount(productInLast)}\n`,
    );
  }
  if (order.alongEdge && order.zones.length > 0) {
    const { sectionM, overM, missedM } = order.alongEdge;
    const length = (value: number) => formatQuantity(value, 'length', display);
    host.out(
      paragraph(
        `  along an edge, sections of ${length(sectionM)} switched at their middle treat ${length(overM)} too far and miss ${length(missedM)}, on average`,
        '    ',
      ),
    );
  }
  for (const one of order.neighbors) {
    const away = one.distanceM === 0 ? 'in the field' : `${formatQuantity(one.distanceM, 'length', display)} away`;
    host.out(paragraph(`  near (${one.kind}, ${away}): ${one.note}`, '    '));
  }
  host.out('\n');
  for (const caution of order.cautions) host.out(paragraph(`  ! ${caution.text}`, '    '));
}
