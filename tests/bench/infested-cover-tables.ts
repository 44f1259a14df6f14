/** What the coverage experiment prints. */
import reference from '../reference/infested-area/exact-coverage.json';
import type { Truth } from '../support/simulated-truths.ts';
import { TRUTHS } from '../support/simulated-truths.ts';
import type { CoverResult, Ranged } from './infested-cover-field.ts';
import { CLUMPING, QUADRATS, WITH_PATH } from './infested-cover-field.ts';
import type { Scored, Tally } from './infested-cover-score.ts';
import { pooledMet, rowMet, standardError, tallyOf } from './infested-cover-score.ts';
import { type Row, row } from './row.ts';

export type CoverRow = CoverResult & { readonly truth: Truth };

const truths = Object.keys(TRUTHS) as Truth[];
const percent = (share: number): string => (100 * share).toFixed(0);
const holds = ({ range90, truth }: Scored): boolean => range90.low <= truth && truth <= range90.high;
const mean = <T>(of: readonly T[], value: (one: T) => number): number =>
  of.reduce((sum, one) => sum + value(one), 0) / of.length;

/** One field, as it comes in. */
export function said(results: readonly CoverResult[]): string {
  const held = results.filter(({ plain }) => holds(plain.known)).length;
  return `${held} of ${results.length} ranges hold the truth, ${results.reduce((sum, one) => sum + one.seconds, 0).toFixed(0)} s`;
}

interface Figures {
  readonly ratio: number;
  readonly rmse: number;
  readonly cover80: number;
  readonly cover90: number;
  readonly width90: number;
}

function figures({ ratio, rmse, cover80, cover90, width90 }: Figures): string {
  const finite = (value: number, digits: number): string => (Number.isFinite(value) ? value.toFixed(digits) : '–');
  return `${finite(ratio, 2).padStart(6)} ${finite(rmse, 3).padStart(6)} ${`${percent(cover80)}/${percent(cover90)}`.padStart(8)} ${width90.toFixed(2).padStart(6)}`;
}
const HEADS = ' ratio   rmse  80/90 %  width';

/** Each kind, number of quadrats and k beside the reference's row. */
export function rangeTable(results: readonly CoverRow[]): void {
  console.log('\nWidths and errors as shares of the field; ratio: mean estimate over mean truth.');
  console.log(
    `${'truth'.padEnd(12)}   n    k  fields | whole field ${' '.repeat(HEADS.length - 12)} | reference ${' '.repeat(HEADS.length - 10)} | known ground`,
  );
  console.log(`${' '.repeat(28)} | ${HEADS} | ${HEADS} | ${HEADS}  known`);
  for (const n of QUADRATS)
    for (const k of CLUMPING)
      for (const truth of truths) {
        const of = ofRow(results, truth, n, k);
        const theirs = reference.fresh.find(
          (one) => one.truth === TRUTHS[truth] && one.n === n && one.k === k && one.threshold === 1,
        )!;
        console.log(
          [
            `${truth.padEnd(12)} ${String(n).padStart(3)} ${String(k).padStart(4)} ${String(of.length).padStart(7)}`,
            figures(tallyOf(of.map(({ plain }) => plain.whole))),
            figures({ ...theirs, ...theirs.rule }),
            `${figures(tallyOf(of.map(({ plain }) => plain.known)))}  ${percent(mean(of, ({ plain }) => plain.knownShare))} %`,
          ].join(' | '),
        );
      }
}

function ofRow(results: readonly CoverRow[], truth: Truth, n: number, k: number): CoverRow[] {
  return results.filter((one) => one.truth === truth && one.n === n && one.k === k);
}

const PATH_WAYS: readonly (readonly [string, (one: CoverRow) => Ranged])[] = [
  ['no direction', ({ plain }) => plain],
  ['direction of the path', ({ along }) => along!],
  ['direction where finds follow it', ({ follows, plain, along }) => (follows ? along! : plain)],
];
const PATH_SCORES: readonly (readonly [string, (one: Ranged) => Scored])[] = [
  ['whole field', ({ whole }) => whole],
  ['known ground', ({ known }) => known],
];

/** The same fields with and without the direction of the path, all k together. */
export function pathTable(results: readonly CoverRow[]): void {
  console.log('\nWith the direction of the harvest path given, the same fields:');
  const heads = PATH_WAYS.map(([name]) => name.padEnd(HEADS.length + 7)).join(' | ');
  for (const [score, scored] of PATH_SCORES) {
    console.log(`${score.padEnd(12)}   n  fields | ${heads}`);
    console.log(`${' '.repeat(23)} | ${PATH_WAYS.map(() => `${HEADS}  known`).join(' | ')}`);
    for (const truth of WITH_PATH)
      for (const n of QUADRATS) {
        const of = results.filter((one) => one.truth === truth && one.n === n);
        const sides = PATH_WAYS.map(
          ([, ranged]) =>
            `${figures(tallyOf(of.map((one) => scored(ranged(one)))))} ${percent(mean(of, (one) => ranged(one).knownShare)).padStart(4)} %`,
        );
        console.log(
          [`${truth.padEnd(12)} ${String(n).padStart(3)} ${String(of.length).padStart(7)}`, ...sides].join(' | '),
        );
      }
  }
}

/** How often finds are said to follow a path along y. */
export function followsTable(results: readonly CoverRow[]): void {
  console.log('\nFinds follow the path (fields with at least 8 finds):');
  for (const n of QUADRATS) {
    const told = truths.map((truth) => {
      const of = results.filter((one) => one.truth === truth && one.n === n && one.positives >= 8);
      return `${truth} ${of.length === 0 ? '–' : `${percent(mean(of, ({ follows }) => (follows ? 1 : 0)))} % of ${of.length}`}`;
    });
    console.log(`  ${n} quadrats: ${told.join(', ')}`);
  }
}

/** The rule: pooled per k, and no row too low. */
export function coverRows(results: readonly CoverRow[]): Row[] {
  console.log('\nPooled per k, truths inside the 90 % range ± a standard error:');
  const pooled = CLUMPING.map((k) => {
    const of = results.filter((one) => one.k === k);
    const [whole, known] = [tallyOf(of.map(({ plain }) => plain.whole)), tallyOf(of.map(({ plain }) => plain.known))];
    console.log(`  k ${k}: known ground ${pooledTold(known)}; whole field ${pooledTold(whole)}; ${of.length} fields`);
    return row(`k ${k}: truths inside the 90 % range`, 100 * known.cover90, '%', { atLeast: 88 });
  });
  const low = QUADRATS.flatMap((n) => CLUMPING.flatMap((k) => truths.map((truth) => ({ truth, n, k })))).filter(
    ({ truth, n, k }) => {
      const { cover90, fields } = tallyOf(ofRow(results, truth, n, k).map(({ plain }) => plain.known));
      return !rowMet(cover90, fields);
    },
  );
  console.log(
    low.length === 0
      ? 'No row under 80 % by more than two standard errors: met.'
      : `Rows under 80 % by more than two standard errors: ${low.map(({ truth, n, k }) => `${truth} ${n} ${k}`).join('; ')}: not met.`,
  );
  return [...pooled, row('rows under 80 % by more than two standard errors', low.length, '', { atMost: 0 })];
}

function pooledTold({ cover90, fields, width90 }: Tally): string {
  const error = standardError(cover90, fields);
  return `${(100 * cover90).toFixed(1)} ± ${(100 * error).toFixed(1)} %, width ${width90.toFixed(2)}: ${pooledMet(cover90) ? 'met' : 'not met'}`;
}
