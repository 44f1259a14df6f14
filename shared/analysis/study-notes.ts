/** What a study tells of the farm as a whole: what is missing, assumed, borrowed, or lies outside every field. */
import { cautionsFor } from '../agronomy/cautions.ts';
import type { Farm } from '../model/farm.ts';
import { type Problem, problem } from '../model/problem.ts';
import type { Want } from './remembered.ts';
import type { RunnerProgress } from './runner.ts';
import type { FieldStudy } from './study-field.ts';

/** What keeps money out of the answer, or rests on an assumption, said once for the farm. */
export function whatIsMissing(farm: Farm, fields: readonly FieldStudy[]): Problem[] {
  const told: Problem[] = [];
  const looked = fields.filter((one) => one.rank !== null);
  if (looked.length === 0) return told;
  const unpriced = [
    ...new Set(looked.filter((one) => one.yieldLossMoney.central === null).flatMap((one) => one.crop ?? [])),
  ];
  if (unpriced.length > 0 || looked.some((one) => one.stake.central === null)) {
    const crops = unpriced.length > 0 ? unpriced.join(' and ') : 'a crop of the rotation';
    told.push(
      problem(
        'warning',
        'price-missing',
        `The price of ${crops} is not told: what the weed costs cannot be told in money.`,
        {
          hint: 'Say the prices of the crops.',
        },
      ),
    );
  }
  if (farm.programs.some((one) => one.assumed)) {
    told.push(
      problem(
        'note',
        'programs-assumed',
        'The programs are a pattern to start from: their ratings are assumed, and they have no cost.',
        {
          hint: 'Put the ratings of your state’s guide and your costs in their place.',
        },
      ),
    );
  }
  for (const one of looked) {
    if (one.cropFrom !== null && /assumed|carried on/.test(one.cropFrom)) {
      told.push(
        problem('note', 'crop-assumed', `Field ${one.name}: ${one.cropFrom}.`, {
          where: { id: one.id },
          hint: 'Say what was planted.',
        }),
      );
    }
  }
  return [...told, ...pathsAssumed(looked)];
}

/** Fields without a log: their seed is moved all the same, and that is said once for all of them. */
function pathsAssumed(looked: readonly FieldStudy[]): Problem[] {
  const names = looked.filter((one) => one.harvest?.assumedPath === true).map((one) => one.name);
  if (names.length === 0) return [];
  const [which, have, their] =
    names.length === 1 ? [`Field ${names[0]}`, 'has', 'its'] : [`${names.length} fields`, 'have', 'their'];
  const listed = names.length === 1 ? '' : ` (${names.slice(0, 4).join(', ')}${names.length > 4 ? ' …' : ''})`;
  return [
    problem(
      'note',
      'paths-assumed',
      `${which}${listed} ${have} no harvest log: where ${their} seed lands is worked out along an assumed path, both ways round.`,
      { hint: 'Add the logs, or say header width, heading and headland laps.' },
    ),
  ];
}

/** Palmer amaranth is a noxious weed in many states: where it is found, its cautions come with it. */
export function palmerFound(fields: readonly FieldStudy[]): Problem[] {
  const names = fields
    .filter((field) => field.bySpecies.some((one) => one.species === 'palmer-amaranth' && one.positives > 0))
    .map((field) => field.name);
  if (names.length === 0) return [];
  const cautions = cautionsFor(['first find of Palmer amaranth']).map((one) => one.text);
  return [
    problem('warning', 'palmer-amaranth', `Palmer amaranth was found in ${names.join(', ')}. ${cautions[0]}`, {
      hint: cautions.slice(1).join(' '),
    }),
  ];
}

/** Parameters without a value of their own, taken over from another species or crop. */
export function whatIsBorrowed(borrowed: readonly string[]): Problem[] {
  if (borrowed.length === 0) return [];
  const names = borrowed.slice(0, 3);
  return [
    problem(
      'note',
      'parameters-borrowed',
      `${borrowed.length} parameters have no value of their own and are taken over from another weed or crop: ${names.join(', ')}${borrowed.length > 3 ? ' …' : ''}.`,
      { hint: 'The working of a number names them; the farm’s own values may replace them.' },
    ),
  ];
}

/** Observations that lie in no field are told, file by file, never dropped in silence. */
export function* strayObservations(
  farm: Farm,
  season: number | null,
  want: Want,
): Generator<RunnerProgress, Problem[], void> {
  const told: Problem[] = [];
  if (season === null) return told;
  for (const round of farm.rounds.filter((one) => one.season === season)) {
    let [brought, placed] = [round.typed.length, 0];
    for (const file of round.files) {
      const read = yield* want<{ records: { kind: string; observations?: readonly unknown[] } }>('records', { file });
      brought += read?.records.observations?.length ?? 0;
    }
    for (const field of farm.fields) {
      const scouting = yield* want<{ observations: number }>('scouting', { field: field.id, round: round.id });
      placed += scouting?.observations ?? 0;
    }
    if (placed < brought) {
      told.push(
        problem(
          'warning',
          'outside-all-fields',
          `${brought - placed} of ${brought} observations of ${round.id} lie in no field.`,
          { where: { id: round.id }, hint: 'Check their coordinates, or add the boundary of their field.' },
        ),
      );
    }
  }
  return told;
}
