import { FigureBook } from '../../../shared/analysis/formula.ts';
import { type HarvestChoices, harvestChoices } from '../../../shared/analysis/harvest-choices.ts';
import { type HarvestPlan, harvestPlan, type HarvestPlanAsk } from '../../../shared/analysis/harvest-plan.ts';
import type { OpenFarm } from '../open-farm.ts';

/** In which order to harvest, and where to clean out; the working of its numbers is kept. */
export function harvestPlanQuestion(open: OpenFarm, ask: HarvestPlanAsk): Promise<HarvestPlan> {
  return open.inTurns((result) => {
    const figures = new FigureBook();
    const plan = harvestPlan(open.farm, ask, result, figures, open.solvedOrders.order);
    open.harvestFigures = figures;
    return plan;
  });
}

/** Header, mill, chaff lines and patches of one field; null where no seed stood in the machine's way. */
export function harvestChoicesQuestion(
  open: OpenFarm,
  { field, season }: { readonly field: string; readonly season: number },
): Promise<HarvestChoices | null> {
  return open.inTurns((result) => harvestChoices(open.farm, field, season, result));
}
