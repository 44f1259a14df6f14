import { assertBiology, assertYear, plantsPerSeedling } from './seedbank.ts';
import type { SeedbankBiology, SeedbankYear } from './seedbank.ts';

/** Banks and plants of many classes (cells, zones or draws) over years; index = year × classes + class. */
export interface BankProjection {
  readonly classes: number;
  readonly years: number;
  /** Shallow and deep seeds/m² each spring, year 0 first: (years + 1) × classes. */
  readonly shallowPerM2: Float64Array;
  readonly deepPerM2: Float64Array;
  /** Plants/m² at maturity and seeds/m² produced in each year: years × classes. */
  readonly plantsPerM2: Float64Array;
  readonly producedPerM2: Float64Array;
}

/** Room for a projection, to be used again and again. */
export function emptyProjection(classes: number, years: number): BankProjection {
  return {
    classes,
    years,
    shallowPerM2: new Float64Array((years + 1) * classes),
    deepPerM2: new Float64Array((years + 1) * classes),
    plantsPerM2: new Float64Array(years * classes),
    producedPerM2: new Float64Array(years * classes),
  };
}

/**
 * `bankYear` for many banks over many years, in flat arrays and without allocation: the same numbers to rounding.
 * @param startPerM2 shallow bank of each class in the spring of year 0; NaN (unknown) stays NaN
 * @param years one entry a year
 * @param into room for exactly these classes and years; written and returned
 * @param more `deepPerM2`: deep bank at the start (else 0); `broughtInPerM2`: landed seed of its own for each class in
 * year 0, e.g. from the movement map (then that year's `returnedFraction` is usually 0)
 * @source methods-season §5; held to `bankYear` by test
 * @cost O(classes × years); measured in tests/bench/seedbank.bench.ts
 */
export function projectBanks(
  startPerM2: Float64Array,
  years: readonly SeedbankYear[],
  biology: SeedbankBiology,
  into: BankProjection = emptyProjection(startPerM2.length, years.length),
  more: { readonly deepPerM2?: Float64Array; readonly broughtInPerM2?: Float64Array } = {},
): BankProjection {
  const { classes } = into;
  if (startPerM2.length !== classes || years.length !== into.years) {
    throw new RangeError(
      `projectBanks: room for ${classes} × ${into.years}, got ${startPerM2.length} × ${years.length}`,
    );
  }
  for (const extra of [more.deepPerM2, more.broughtInPerM2]) {
    if (extra && extra.length !== classes)
      throw new RangeError(`projectBanks: expected ${classes}, got ${extra.length}`);
  }
  assertBiology(biology);
  into.shallowPerM2.set(startPerM2);
  if (more.deepPerM2) into.deepPerM2.set(more.deepPerM2);
  else into.deepPerM2.fill(0, 0, classes);
  years.forEach((year, t) => {
    assertYear(year);
    stepAll(into, t, year, biology, t === 0 ? (more.broughtInPerM2 ?? null) : null);
  });
  return into;
}

function stepAll(
  { classes, shallowPerM2, deepPerM2, plantsPerM2, producedPerM2 }: BankProjection,
  t: number,
  year: SeedbankYear,
  biology: SeedbankBiology,
  own: Float64Array | null,
): void {
  const { alive, effective } = plantsPerSeedling(year.cohorts);
  const { emergenceFraction: g, enteringFraction: u, survivalDeep } = biology;
  const plantsPerSeed = g * alive;
  const effectivePerSeed = g * effective;
  const staying = (1 - g * (1 + biology.fatalGerminationFraction)) * biology.survivalShallow;
  const { seedsPerPlant, crowding } = year;
  const returned = year.returnedFraction * u;
  const broughtIn = year.broughtInPerM2 * u;
  const [[upUp, upDeep], [downUp, downDeep]] = year.tillage ?? biology.tillage;
  const from = t * classes;
  const to = from + classes;
  for (let k = 0; k < classes; k++) {
    const bank = shallowPerM2[from + k]!;
    const effectivePlants = effectivePerSeed * bank;
    const produced = (seedsPerPlant * effectivePlants) / (1 + crowding * effectivePlants);
    const extra = own === null ? 0 : own[k]! * u;
    const shallow = bank * staying + produced * returned + broughtIn + extra;
    const deep = deepPerM2[from + k]! * survivalDeep;
    plantsPerM2[from + k] = plantsPerSeed * bank;
    producedPerM2[from + k] = produced;
    shallowPerM2[to + k] = upUp * shallow + upDeep * deep;
    deepPerM2[to + k] = downUp * shallow + downDeep * deep;
  }
}
