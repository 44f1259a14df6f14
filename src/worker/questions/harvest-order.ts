import type { FieldHarvestPath } from '../../../shared/analysis/steps/harvest-path.ts';
import type { MovementChain } from '../../../shared/analysis/steps/movement-chain.ts';
import { fieldsCutBy, harvestOf, machineOf } from '../../../shared/model/lookups.ts';
import { type Case, CASES, foldCases, type Range } from '../../../shared/model/range.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface HarvestStop {
  readonly field: string;
  /** Unix seconds; null where no day is known: then nobody knows when in the order it comes. */
  readonly startS: number | null;
  /** False: the path is assumed. */
  readonly hasLog: boolean;
  /** No visit stands in the document: that it is cut at all is assumed. */
  readonly implied: boolean;
  readonly cleanOutBefore: 'limited' | 'thorough' | null;
  /** Seeds, all species: aboard on arrival, taken out at the clean-out before, aboard on leaving. */
  readonly carriedIn: Range;
  readonly removedAtCleanOut: Range;
  readonly carriedOut: Range;
}

export interface MachineRound {
  readonly machine: string;
  readonly name: string;
  /** In time order; fields without a day come last. */
  readonly stops: readonly HarvestStop[];
}

/** Each machine's fields in the order in which it cut them, with the seed that it carried from one to the next. */
export function harvestOrderQuestion(open: OpenFarm, { season }: { readonly season: number }): readonly MachineRound[] {
  const { farm } = open;
  const ours = farm.fields.filter((one) => one.ours);
  const machines = [...new Set(ours.map((one) => harvestOf(farm, one.id, season).machine))];
  return machines.map((machine) => {
    const chains = Object.fromEntries(
      CASES.map((which) => [which, open.outcome<MovementChain>('movement-chain', { machine, season, case: which })]),
    ) as Record<Case, MovementChain | null>;
    const followed = (chains.central?.links ?? []).map((one) => one.field);
    const left = fieldsCutBy(farm, machine, season).filter((one) => !followed.includes(one));
    return {
      machine,
      name: machineOf(farm, machine)?.name ?? machine,
      stops: [...followed, ...left].map((field) => stopAt(open, field, season, chains)),
    };
  });
}

function stopAt(
  open: OpenFarm,
  field: string,
  season: number,
  chains: Readonly<Record<Case, MovementChain | null>>,
): HarvestStop {
  const { implied, cleanOutBefore } = harvestOf(open.farm, field, season);
  const path = open.outcome<FieldHarvestPath>('harvest-path', { field, season });
  const total = (of: 'carriedIn' | 'removedAtCleanOut' | 'carriedOut') =>
    foldCases(
      Object.fromEntries(
        CASES.map((which) => {
          const seeds = chains[which]?.links.find((one) => one.field === field)?.[of] ?? null;
          return [which, seeds === null ? null : seeds.reduce((sum, one) => sum + one, 0)];
        }),
      ) as Record<Case, number | null>,
    );
  return {
    field,
    startS: path?.startS ?? null,
    hasLog: path !== null && !path.path.assumed,
    implied,
    cleanOutBefore,
    carriedIn: total('carriedIn'),
    removedAtCleanOut: total('removedAtCleanOut'),
    carriedOut: total('carriedOut'),
  };
}
