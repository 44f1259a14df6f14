/** Per machine, season and case: all its fields in time order, and the seed that it carried from each to the next. */
import { ARRIVAL_PARAMETERS, arrivalSeeds } from '../../harvest/arrival-load.ts';
import { USUAL_HEADER_M } from '../../harvest/machine-parameters.ts';
import type { Arrival } from '../../model/farm.ts';
import { arrivalOf, fieldsCutBy, fieldOf, harvestOf, machineOf } from '../../model/lookups.ts';
import { done, problem, type Problem } from '../../model/problem.ts';
import type { Case } from '../../model/range.ts';
import { defineStep } from '../define-step.ts';
import type { MovementOwn } from './movement-own.ts';

export interface ChainLink {
  readonly field: string;
  readonly startS: number | null;
  /** Seeds that came in aboard, one a species; null where the order is not known. */
  readonly carriedIn: readonly number[] | null;
  /** Of that, seeds that were aboard already when the machine came to the farm. */
  readonly arrived: readonly number[];
  /** Of the field's own seed, aboard when the machine left; one a species. */
  readonly ownLeft: readonly number[];
  /** Of one seed that came in lodged: still aboard when it left, and laid on the field. */
  readonly kept: number;
  readonly laid: number;
  /** Removed at the clean-out before this field, one a species. */
  readonly removedAtCleanOut: readonly number[];
  /** Aboard when it left, one a species; null where what came in is not known. */
  readonly carriedOut: readonly number[] | null;
}

export interface MovementChain {
  readonly machine: string;
  readonly species: readonly string[];
  readonly links: readonly ChainLink[];
}

interface Settings {
  readonly machine: string;
  readonly headerWidthM: number;
  readonly arrival: Arrival['load'];
  readonly case: Case;
  readonly fields: readonly { id: string; name: string; cleanOutBefore: 'limited' | 'thorough' | null }[];
}

export const movementChainStep = defineStep<Settings, MovementChain>({
  id: 'movement-chain',
  title: 'Seed carried from field to field',
  version: 2,
  per: ['machine', 'season', 'case'],
  key: 'content',
  settings(farm, scope) {
    return {
      machine: scope.machine!,
      headerWidthM: machineOf(farm, scope.machine!)?.headerWidthM ?? USUAL_HEADER_M,
      arrival: arrivalOf(farm, scope.machine!, scope.season!).load,
      case: scope.case!,
      fields: fieldsCutBy(farm, scope.machine!, scope.season!).map((id) => ({
        id,
        name: fieldOf(farm, id).name,
        cleanOutBefore: harvestOf(farm, id, scope.season!).cleanOutBefore,
      })),
    };
  },
  parameters: () => ['machine.cleanOut.limited', 'machine.cleanOut.thorough', ...ARRIVAL_PARAMETERS],
  needs(farm, scope) {
    return {
      own: fieldsCutBy(farm, scope.machine!, scope.season!).map((field) => ({
        step: 'movement-own',
        scope: { field, season: scope.season!, case: scope.case! },
      })),
    };
  },
  optional: ['own'],
  *run({ settings, needs, p }) {
    yield [0, 1];
    const visits = (needs['own'] as (MovementOwn | null)[])
      .map((own, index) => ({ own, field: settings.fields[index]! }))
      .filter((one): one is typeof one & { own: MovementOwn } => one.own !== null);
    const species = visits[0]?.own.species ?? [];
    const dated = visits.filter((one) => one.own.startS !== null).sort((a, b) => a.own.startS! - b.own.startS!);
    const undated = visits.filter((one) => one.own.startS === null);
    const problems: Problem[] = [];
    let brought = arrivalSeeds(settings.arrival, species, { ...settings, which: settings.case }, p);
    let aboard = brought;
    const links: ChainLink[] = [];
    for (const { own, field } of dated) {
      const share = field.cleanOutBefore === null ? 0 : p[`machine.cleanOut.${field.cleanOutBefore}`]!;
      const removedAtCleanOut = aboard.map((seeds) => seeds * share);
      const carriedIn = aboard.map((seeds) => seeds * (1 - share));
      const arrived = brought.map((seeds) => seeds * (1 - share));
      const alone = aloneOf(own);
      brought = arrived.map((seeds) => seeds * alone.kept);
      aboard = carriedIn.map((seeds, index) => seeds * alone.kept + alone.ownLeft[index]!);
      links.push({
        field: field.id,
        startS: own.startS,
        carriedIn,
        arrived,
        ...alone,
        removedAtCleanOut,
        carriedOut: aboard,
      });
    }
    for (const { own, field } of undated) {
      problems.push(
        problem(
          'note',
          'harvest-undated',
          `Field ${field.name} has no harvest date: what the machine carried in is not known.`,
          {
            where: { id: field.id },
            hint: 'Say on which day it was harvested, or add its log.',
          },
        ),
      );
      links.push({
        field: field.id,
        startS: null,
        carriedIn: null,
        arrived: own.species.map(() => 0),
        ...aloneOf(own),
        removedAtCleanOut: own.species.map(() => 0),
        carriedOut: null,
      });
    }
    return done({ machine: settings.machine, species, links }, problems);
  },
});

/** What the field does to seed aboard, whatever came before it. */
function aloneOf({ ledger, response }: MovementOwn): Pick<ChainLink, 'ownLeft' | 'kept' | 'laid'> {
  return {
    ownLeft: ledger.map((one) => one.leftInMachineSeeds),
    kept: response.ledger.leftInMachineSeeds,
    laid: response.ledger.landedByMachineSeeds,
  };
}
