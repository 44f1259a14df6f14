import type { FieldInfestation } from '../../../shared/analysis/steps/infestation.ts';
import { speciesOf } from '../../../shared/model/lookups.ts';
import type { Range } from '../../../shared/model/range.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface SeasonBeside {
  readonly year: number;
  /** Fields in which somebody looked for any of the weeds. */
  readonly looked: number;
  readonly bySpecies: readonly {
    readonly species: string;
    readonly looked: number;
    /** Fields in which it was found. */
    readonly found: number;
    /** Fields whose infested area is known: counted. */
    readonly counted: number;
    /** Sum over the counted fields, all mild or all harsh at once; null where none was counted. */
    readonly infestedAreaM2: Range | null;
  }[];
}

/** What each season in which somebody scouted found, the latest first. */
export function seasonsBesideQuestion(open: OpenFarm, _ask: Record<string, never>): readonly SeasonBeside[] {
  const { farm } = open;
  const years = [...new Set(farm.rounds.map((one) => one.season))].sort((a, b) => b - a);
  return years.map((year) => {
    const lookedFields = new Set<string>();
    const bySpecies = speciesOf(farm).map((species) => {
      const seen = farm.fields.flatMap(({ id: field }) => {
        const one = open.outcome<FieldInfestation>('infestation', { field, season: year, species });
        return one && one.map.basis !== 'nothing' ? [{ field, ...one }] : [];
      });
      for (const one of seen) lookedFields.add(one.field);
      const counted = seen.filter(({ map }) => map.places > 0 && map.infestedAreaM2.central !== null);
      return {
        species,
        looked: seen.length,
        found: seen.filter((one) => isFound(one)).length,
        counted: counted.length,
        infestedAreaM2: counted.length === 0 ? null : sumOf(counted.map((one) => one.map.infestedAreaM2)),
      };
    });
    return { year, looked: lookedFields.size, bySpecies };
  });
}

function isFound({ map, strata }: FieldInfestation): boolean {
  return map.positives > 0 || map.basis === 'drawn patches' || (strata !== null && strata.densityPerM2.low > 0);
}

function sumOf(ranges: readonly Range[]): Range {
  const sum = (end: keyof Range) => ranges.reduce((all, one) => all + one[end]!, 0);
  return { low: sum('low'), central: sum('central'), high: sum('high') } as Range;
}
