/**
 * Programs, products and prices carried from one farm to another, as one edit. They are the consultant's own work; records (fields,
 * counts, logs, plans, what resists) belong to a farm and never cross.
 */
import type { Edit } from './edit.ts';
import type { Farm, Product, Program, Season } from './farm.ts';
import { done, type Outcome, problem, type Problem, refused } from './problem.ts';
import { counted, listed } from '../units/words.ts';

export interface Carried {
  readonly edit: Edit;
  /** How many came, were put in place of others, or were the same already. */
  readonly programs: number;
  readonly products: number;
  readonly prices: number;
}

/** What the farm does now is its own. */
const OWN = 'as-now';

/**
 * A program that was only assumed gives way to the one of the other farm; one that the person made stays, and the other comes beside it
 * under another id. Prices of the other farm replace those of the same crop and year. Money of another currency is left behind, told.
 */
export function carryOver(into: Farm, from: Farm): Outcome<Carried> {
  const problems: Problem[] = [];
  const sameMoney = into.currency === from.currency;
  const programs = carried(
    into.programs,
    from.programs.filter((one) => one.id !== OWN).map((one) => (sameMoney ? one : programWithoutMoney(one))),
    { mayReplace: (one) => one.assumed && one.id !== OWN, from: from.name },
  );
  const products = carried(
    into.products,
    from.products.map((one) => (sameMoney ? one : productWithoutMoney(one))),
    { mayReplace: () => false, from: from.name },
  );
  const prices = sameMoney ? carriedPrices(into.seasons, from.seasons) : { seasons: into.seasons, count: 0 };
  if (!sameMoney) {
    problems.push(
      problem(
        'note',
        'money-left-behind',
        `${from.name} counts in ${from.currency}, ${into.name} in ${into.currency}: prices and costs were not carried over.`,
        { hint: 'Type them here in the currency of this farm.' },
      ),
    );
  }
  const counts = { programs: programs.count, products: products.count, prices: prices.count };
  if (counts.programs + counts.products + counts.prices === 0) {
    const text = `${from.name} has no programs, products or prices that ${into.name} does not have already.`;
    return refused(problem('note', 'nothing-to-carry', text), ...problems);
  }
  if (counts.products > 0) {
    problems.push(
      problem('note', 'label-as-typed', `Label rates came as they were typed for ${from.name}.`, {
        hint: 'The label on the container is the law: check each rate against it.',
      }),
    );
  }
  const edit: Edit = {
    label: `Carry over ${words(counts)} from ${from.name}`,
    sets: [
      ...(counts.programs > 0 ? [{ path: ['programs'], value: programs.list }] : []),
      ...(counts.products > 0 ? [{ path: ['products'], value: products.list }] : []),
      ...(counts.prices > 0 ? [{ path: ['seasons'], value: prices.seasons }] : []),
    ],
  };
  return done({ edit, ...counts }, problems);
}

interface Named {
  readonly id: string;
}

function carried<T extends Named & { readonly name: string }>(
  own: readonly T[],
  others: readonly T[],
  { mayReplace, from }: { mayReplace: (own: T) => boolean; from: string },
): { list: T[]; count: number } {
  const list = [...own];
  let count = 0;
  for (const other of others) {
    if (list.some((one) => isSame(one, other))) continue;
    const at = list.findIndex((one) => one.id === other.id);
    if (at < 0) list.push(other);
    else if (mayReplace(list[at]!)) list[at] = other;
    else list.push({ ...other, id: freeId(other.id, list), name: `${other.name} (${from})` });
    count++;
  }
  return { list, count };
}

function freeId(id: string, list: readonly Named[]): string {
  for (let n = 2; ; n++) {
    const free = `${id.slice(0, 58)}-${n}`;
    if (!list.some((one) => one.id === free)) return free;
  }
}

/** The same thing under whatever id, so that carrying over twice adds nothing. */
function isSame<T extends Named & { readonly name: string }>(one: T, other: T): boolean {
  const plain = ({ id: _id, name: _name, ...rest }: T) => JSON.stringify(rest);
  return plain(one) === plain(other) && (one.name === other.name || one.name.startsWith(`${other.name} (`));
}

function carriedPrices(own: readonly Season[], others: readonly Season[]): { seasons: Season[]; count: number } {
  const seasons = [...own];
  let count = 0;
  for (const { year, prices } of others) {
    const at = seasons.findIndex((one) => one.year === year);
    const there = seasons[at]?.prices ?? {};
    const changed = Object.entries(prices).filter(([crop, price]) => there[crop] !== price);
    if (changed.length === 0) continue;
    count += changed.length;
    const merged = { ...there, ...prices };
    if (at < 0) seasons.push(seasonOf(year, merged));
    else seasons[at] = { ...seasons[at]!, prices: merged };
  }
  return { seasons: seasons.sort((a, b) => a.year - b.year), count };
}

function seasonOf(year: number, prices: Season['prices']): Season {
  return { year, weather: [], prices, crops: [], visits: [], sprayed: [], sightings: [] };
}

function programWithoutMoney(program: Program): Program {
  return { ...program, passes: program.passes.map((pass) => ({ ...pass, costPerHa: null })) };
}
function productWithoutMoney(product: Product): Product {
  const { costPerUnit: _cost, ...rest } = product;
  return rest;
}

function words({ programs, products, prices }: { programs: number; products: number; prices: number }): string {
  const some = (count: number, one: string) => (count === 0 ? [] : [counted(count, one)]);
  return listed([...some(programs, 'program'), ...some(products, 'product'), ...some(prices, 'price')]);
}
