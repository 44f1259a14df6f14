/**
 * What a program's passes do to each cohort of a weed, from the person's ratings: residual and post-emergence control apart,
 * weakened where the population no longer answers, and, for a residual below the full label rate, by the cover that is lost.
 */
import { COHORT_ORDER } from '../agronomy/cohorts.ts';
import { combinedControlFraction } from '../agronomy/control.ts';
import { controlByDay, type ResidualApplication } from '../agronomy/cover.ts';
import type { SeasonEmergence } from '../agronomy/emergence.ts';
import { hasResidual, residualApplication } from '../agronomy/residuals.ts';
import type { Cohort, Pass, Program } from '../model/farm.ts';
import type { Values } from './step.ts';

export interface CohortControl {
  readonly cohort: Cohort;
  readonly residual: number;
  readonly post: number;
}

export interface ControlContext {
  readonly program: Program;
  readonly crop: string;
  readonly species: string;
  /** Whether the ground lies in a zone: passes for zones count there only. */
  readonly inZone: boolean;
  readonly emergence: SeasonEmergence | null;
  readonly plantedDay: number;
  readonly cropDay: number;
  readonly lateFromDay: number;
  /** Share of the population that an ingredient still controls. */
  susceptible(ingredient: string): number;
}

export function passesFor(program: Program, crop: string): readonly Pass[] {
  return program.passes.filter((pass) => pass.crops.length === 0 || pass.crops.includes(crop));
}

/** The residue mode that a program's harvest pass asks for, or null: then the machine's own. */
export function residueOf(program: Program, crop: string): 'impact-mill' | 'chaff-line' | null {
  for (const pass of passesFor(program, crop)) {
    if (pass.means === 'impact mill') return 'impact-mill';
    if (pass.means === 'chaff line') return 'chaff-line';
  }
  return null;
}

/**
 * Money per hectare and year: passes over the whole field, and passes over zones by the share of the field in zones.
 * null where the cost of a pass is not told.
 */
export function programCostPerHa(program: Program, crop: string, zoneFraction: number): number | null {
  let sum = 0;
  for (const { costPerHa, where } of passesFor(program, crop)) {
    if (costPerHa === null) return null;
    sum += costPerHa * (where === 'zones' ? zoneFraction : 1);
  }
  return sum;
}

export function cohortControls(context: ControlContext, p: Values): CohortControl[] {
  const passes = passesFor(context.program, context.crop)
    .filter((pass) => pass.where === 'field' || context.inZone)
    .map((pass) => ({
      pass,
      works: pass.parts.length === 0 ? 1 : Math.max(...pass.parts.map((part) => context.susceptible(part.ingredient))),
      coverKept: pass.means === 'residual' ? coverKeptFractions(context, pass, p) : null,
    }));
  return COHORT_ORDER.map((cohort, index) => {
    const residual: number[] = [];
    const post: number[] = [];
    for (const { pass, works, coverKept } of passes) {
      const rating = (pass.controlOf[context.species] ?? pass.control)[cohort];
      if (rating === undefined || rating === 'none') continue;
      const killed = p[`control.${rating}`]! * works;
      if (coverKept) residual.push(killed * coverKept[index]!);
      else post.push(killed);
    }
    return { cohort, residual: combinedControlFraction(residual), post: combinedControlFraction(post) };
  });
}

/**
 * Share of each cohort's control that is left when a residual goes out below its full label rate: emergence controlled at that
 * rate over emergence controlled at the full rate, by the cover of the ingredients. 1 at the full rate, and where no cover is known.
 */
function coverKeptFractions(context: ControlContext, pass: Pass, p: Values): number[] {
  const known = pass.parts.filter((part) => hasResidual(part.ingredient));
  if (!context.emergence || known.length === 0 || known.every((part) => part.rateFraction >= 1)) return [1, 1, 1];
  const { firstDay, cumulative } = context.emergence;
  const days = cumulative.length - 1;
  const sprayedIndex = context.plantedDay + pass.daysFromPlanting - firstDay;
  const controlled = (rate: (fraction: number) => number): number[] => {
    const applications = known.map(
      (part): ResidualApplication =>
        residualApplication(part.ingredient, { rateFraction: rate(part.rateFraction), sprayedIndex, rainMm: null }, p)
          .application,
    );
    const byDay = controlByDay(applications, new Float64Array(days));
    const sums = [0, 0, 0];
    for (let i = 0; i < days; i++) {
      sums[cohortIndex(firstDay + i, context)]! += (cumulative[i + 1]! - cumulative[i]!) * byDay[i]!;
    }
    return sums;
  };
  const full = controlled(() => 1);
  const reduced = controlled((fraction) => Math.min(1, fraction));
  return full.map((sum, index) => (sum === 0 ? 1 : reduced[index]! / sum));
}

/** Place in COHORT_ORDER of what emerges on a day. */
function cohortIndex(day: number, context: ControlContext): number {
  return day < context.plantedDay ? 0 : day < context.lateFromDay ? 1 : 2;
}
