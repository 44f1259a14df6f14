/** The zones of the selected field while they are worked on: where they come from, their numbers, and what was told of the last change. */
import type { FieldZoneNumbers } from '../../../../shared/analysis/zone-numbers.ts';
import { groundOf } from '../../../../shared/geometry/ground.ts';
import { createFrame } from '../../../../shared/geometry/local-frame.ts';
import { toLocalPolygon } from '../../../../shared/geometry/polygon.ts';
import type { MultiPolygon } from '../../../../shared/geometry/types.ts';
import type { Outcome, Problem } from '../../../../shared/model/problem.ts';
import { AS_NOW, choiceOf } from '../../../../shared/model/plan-edits.ts';
import { type EditedZone, type ZoneGround, type ZonesEdit } from '../../../../shared/zones/edit.ts';
import { boomWidthOf, machineLimits } from '../../../../shared/zones/machine-limits.ts';
import {
  acceptZones,
  backToProposal,
  editZoneSet,
  inDegrees,
  inFrame,
  type SetRules,
  zoneSetOf,
} from '../../../../shared/zones/set-edit.ts';
import type { Desk } from '../../../state/desk.svelte.ts';
import type { AnswerOf } from '../../../state/answers.ts';
import { Asking } from '../../../state/asking.ts';

export type Proposal = NonNullable<AnswerOf<'zone proposal'>>;
export interface PlainZone {
  readonly id: string;
  readonly letter: string;
  readonly area: MultiPolygon;
  readonly species?: string | undefined;
}
/** An answer, and the field that it is of: of another field it means nothing. */
interface Of<T> {
  readonly field: string;
  readonly value: T;
}

export class ZoneBench {
  private proposed = $state.raw<Of<Proposal | null> | null>(null);
  private previewed = $state.raw<Of<Proposal | null> | null>(null);
  private counted = $state.raw<Of<FieldZoneNumbers | null> | null>(null);
  private said = $state.raw<Of<readonly Problem[]> | null>(null);
  private broken = $state<string | null>(null);
  /** What is being drawn, as it would change the zones; null while nothing is. */
  private trial = $state.raw<((drawn: MultiPolygon) => Outcome<ZonesEdit> | null) | null>(null);
  /** The level that is tried on the slider; null: none is. */
  private tried = $state<number | null>(null);

  private readonly proposals = new Asking<Of<Proposal | null>>((answer) => (this.proposed = answer), this.fail());
  private readonly previews = new Asking<Of<Proposal | null>>((answer) => (this.previewed = answer), this.fail());
  private readonly counts = new Asking<Of<FieldZoneNumbers | null>>((answer) => (this.counted = answer), this.fail());

  constructor(private readonly desk: Desk) {}

  readonly farm = $derived.by(() => this.desk.farm);
  readonly study = $derived.by(() => this.desk.analysis.study);
  readonly field = $derived.by(() => this.farm?.fields.find((one) => one.id === this.desk.view.field) ?? null);
  readonly found = $derived.by(() => this.study?.fields.find((one) => one.id === this.field?.id) ?? null);
  /** The season that the study looks at; zones are for the next one. */
  readonly season = $derived.by(() => this.study?.farm.season ?? null);
  readonly place = $derived.by(() => ({ field: this.field?.id ?? '', season: (this.season ?? 0) + 1 }));
  readonly set = $derived.by(() => this.farm && zoneSetOf(this.farm, this.place));
  readonly isLooked = $derived.by(() => (this.found?.bySpecies ?? []).some((one) => one.basis !== 'nothing'));
  readonly proposal = $derived.by(() => this.mine(this.proposed));
  readonly preview = $derived.by(() => (this.tried === null ? null : this.mine(this.previewed)));
  readonly numbers = $derived.by(() => this.mine(this.counted));
  readonly problems = $derived.by(() => this.mine(this.said) ?? []);

  /** In the document, else as they are proposed; null while that is not known yet. */
  readonly zones = $derived.by<readonly PlainZone[] | null>(() => {
    if (this.set) return this.set.zones as readonly PlainZone[];
    return this.isLooked ? (this.proposal?.zones ?? null) : [];
  });

  readonly ground = $derived.by<ZoneGround | null>(() => {
    const { field, farm } = this;
    if (!field || !farm) return null;
    const frame = createFrame(field.frameOrigin);
    const local = (area: unknown) => toLocalPolygon(frame, area as MultiPolygon);
    const { ground } = groundOf(
      local(field.boundary),
      field.exclusions.map(({ area, bufferM }) => ({ area: local(area), bufferM })),
    );
    const { id, name } = field;
    return { field: id, name, frame, ground, ...machineLimits(boomWidthOf(farm)), display: farm.display };
  });
  readonly edited = $derived.by<readonly EditedZone[]>(() =>
    this.ground && this.zones ? inFrame(this.ground.frame, this.zones) : [],
  );

  /** The person's own choice for the field, else the best set's, else what gains most. */
  readonly program = $derived.by(() => {
    const { farm, field, found, place } = this;
    if (!farm || !field) return null;
    const own = choiceOf(farm.plan, place.season, field.id)?.program;
    if (own && own !== AS_NOW) return { id: own, why: 'your plan' };
    if (found?.chosenProgram && found.chosenProgram !== AS_NOW)
      return { id: found.chosenProgram, why: 'the best set within the budget' };
    const best = (found?.programs ?? [])
      .filter((one) => one.id !== AS_NOW && one.gain.central !== null)
      .sort((a, b) => b.gain.central! - a.gain.central!)[0];
    return best ? { id: best.id, why: 'no program is chosen here: the one that would gain most' } : null;
  });

  /** What is being drawn, as it would stand among the zones. */
  readonly drafted = $derived.by<readonly PlainZone[] | null>(() => {
    const { trial, ground } = this;
    const { draft } = this.desk.drawing;
    if (!trial || !draft || !ground) return null;
    const outcome = trial(draft);
    return outcome?.ok ? (inDegrees(ground.frame, outcome.value.zones) as readonly PlainZone[]) : null;
  });

  get level(): number | null {
    return this.tried;
  }
  get fault(): string | null {
    return this.broken;
  }

  /** Called while the panel's component is made: asks again whenever what it rests on changes. */
  follow(): void {
    const { analysis } = this.desk;
    $effect(() => {
      void analysis.generation;
      const { field, season } = this;
      if (!field || season === null || !this.isLooked || analysis.isFirstLook) return;
      const ask = { field: field.id, season, level: null };
      this.proposals.ask(async () => ({ field: ask.field, value: await analysis.ask('zone proposal', ask) }));
    });
    $effect(() => {
      const { field, season, level } = this;
      if (!field || season === null || level === null) return;
      const ask = { field: field.id, season, level };
      this.previews.ask(async () => ({ field: ask.field, value: await analysis.ask('zone proposal', ask) }));
    });
    $effect(() => {
      void analysis.generation;
      const { field, season } = this;
      const zones = this.drafted ?? this.preview?.zones ?? this.zones;
      if (!field || season === null || !zones || !this.isLooked || analysis.isFirstLook) return;
      const ask = {
        field: field.id,
        season,
        program: this.program?.id ?? null,
        zones: zones.map(({ id, area }) => ({ id, area })),
      };
      this.counts.ask(async () => ({ field: ask.field, value: await analysis.ask('zone numbers', ask) }));
    });
    $effect(() => {
      const { preview, field } = this;
      this.desk.stage.tryZones(preview && field ? { field: field.id, zones: preview.zones } : null);
      return () => this.desk.stage.tryZones(null);
    });
  }

  /** While something is drawn, its numbers follow. */
  try(trial: typeof this.trial): void {
    this.trial = trial;
  }
  /** A level of the slider, shown before it is taken. */
  tryLevel(level: number | null): void {
    this.tried = level;
  }

  apply(outcome: Outcome<ZonesEdit>): void {
    const { farm, ground, place, field } = this;
    if (!farm || !ground || !field) return;
    this.tried = null;
    if (outcome.ok) {
      const edit = editZoneSet(farm, place, ground.frame, this.zones ?? [], outcome.value, this.rulesOf(this.proposal));
      this.desk.edit(edit);
    }
    this.said = { field: field.id, value: outcome.problems };
  }

  /** The zones as they are proposed, or at the level that is tried, become the document's. */
  accept(): void {
    const { farm, field, place } = this;
    const proposal = this.preview ?? this.proposal;
    if (!farm || !field || !proposal) return;
    const label = `Take the proposed zones of ${field.name}`;
    this.tried = null;
    this.said = null;
    this.desk.edit(acceptZones(farm, place, proposal.zones, this.rulesOf(proposal), label));
  }
  goBack(): void {
    const { farm, field, place } = this;
    if (!farm || !field) return;
    this.said = null;
    this.desk.edit(backToProposal(farm, place, `Back to the proposed zones of ${field.name}`));
  }
  dismiss(): void {
    this.said = null;
  }

  private rulesOf(proposal: Proposal | null): SetRules {
    if (!proposal || proposal.zones.length === 0) return null;
    const { level, minWidthM, minAreaM2, bufferM, unknownIsInfested } = proposal.rules;
    return { level, minWidthM, minAreaM2, bufferM, unknownIsInfested };
  }

  private mine<T>(answer: Of<T> | null): T | null {
    return answer && answer.field === this.field?.id ? answer.value : null;
  }

  private fail(): (error: unknown) => void {
    return (error) => (this.broken = error instanceof Error ? error.message : String(error));
  }
}
