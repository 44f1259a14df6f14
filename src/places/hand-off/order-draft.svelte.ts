/** A hand-off while it is put together: everything as the person typed it. Kept in the plan only when they say so. */
import type { Choice, Farm, Pass, PassOrder, Program } from '../../../shared/model/farm.ts';
import { AS_NOW, choiceOf } from '../../../shared/model/plan-edits.ts';
import { fromSI, isUnit, type UnitId } from '../../../shared/units/units.ts';
import { shownUnit } from '../../../shared/units/format.ts';
import { expectedCrop } from '../../../shared/model/lookups.ts';
import type { PositionLost } from '../../../shared/zones/hand-off.ts';

export interface DraftLine {
  /** '' while none is chosen. */
  product: string;
  rate: string;
  unit: UnitId;
}

export class OrderDraft {
  program = $state('');
  pass = $state('');
  lines = $state<DraftLine[]>([]);
  volume = $state('');
  where = $state<PassOrder['where']>('zones');
  /** Zones left out of this pass. */
  leftOut = $state<string[]>([]);
  outside = $state<'nothing' | 'share'>('nothing');
  share = $state('');
  positionLost = $state<PositionLost>('nothing');
  rateMeans = $state<Choice['rates'][number]['rateMeans']>('product');

  constructor(
    private readonly display: Farm['display'],
    readonly usualUnit: UnitId,
  ) {
    this.addLine();
  }

  addLine(): void {
    this.lines.push({ product: '', rate: '', unit: this.usualUnit });
  }

  /** What the plan holds for a pass; nothing kept leaves what was typed. */
  takeFrom(choice: Choice | null): void {
    const rates = choice?.rates.filter((one) => one.pass === this.pass) ?? [];
    const order = choice?.orders?.find((one) => one.pass === this.pass);
    if (rates.length > 0) {
      this.lines = rates.map(({ product, perArea, unit }) => ({
        product,
        rate: String(perArea),
        unit: isUnit(unit) ? unit : this.usualUnit,
      }));
      this.rateMeans = rates[0]!.rateMeans;
    }
    if (!order) return;
    const unit = shownUnit('volume per area', this.display);
    this.volume = order.volumeLHa === null ? '' : String(Number(fromSI(order.volumeLHa, unit).toPrecision(6)));
    this.where = order.where;
    this.outside = order.outsideFraction > 0 ? 'share' : 'nothing';
    this.share = order.outsideFraction > 0 ? String(Number((100 * order.outsideFraction).toPrecision(6))) : '';
    this.positionLost = order.positionLost;
  }
}

/** Passes that spray something in a crop. */
export function sprayPasses(program: Program | undefined, crop: string): readonly Pass[] {
  return (program?.passes ?? []).filter(
    (pass) =>
      (pass.means === 'residual' || pass.means === 'post') && (pass.crops.length === 0 || pass.crops.includes(crop)),
  );
}

/** What is typed stays while other places are looked at. */
const drafts: Record<string, OrderDraft> = {};

/** @param suggested program of the field in the best set, where there is one */
export function draftFor(farm: Farm, field: string, season: number, suggested: string | null): OrderDraft {
  const key = `${farm.id}/${season}/${field}`;
  const known = drafts[key];
  if (known) return known;
  const choice = choiceOf(farm.plan, season, field);
  const draft = new OrderDraft(farm.display, farm.display === 'us' ? 'fl oz/ac' : 'L/ha');
  draft.program = choice?.program ?? suggested ?? AS_NOW;
  const crop = expectedCrop(farm, field, season).crop;
  const passes = sprayPasses(
    farm.programs.find((one) => one.id === draft.program),
    crop,
  );
  draft.pass = choice?.rates[0]?.pass ?? passes[0]?.id ?? '';
  draft.takeFrom(choice);
  drafts[key] = draft;
  return draft;
}
