/** What the map is shaded by just now: a reading a field, the grids inside them, and one scale that colors both. */
import type { Farm } from '../../shared/model/farm.ts';
import type { MapGrid } from '../state/answers.ts';
import type { Desk } from '../state/desk.svelte.ts';
import { SHADE_OF_PLACE } from '../state/places.ts';
import type { ThresholdTried } from '../state/stage.svelte.ts';
import { FieldAnswers } from './field-answers.svelte.ts';
import { rampColors } from './ramp.ts';
import {
  groupOf,
  mainSpecies,
  NO_READINGS,
  type Grids,
  gridsTried,
  type Readings,
  readingsOf,
  readingsTried,
  scalesOf,
  shadesAlike,
} from './shade-readings.ts';
import type { ShadeScale } from './shade-scale.ts';
import { MAP_SHADES, type ShadeContext } from './shades.ts';

function withThreshold(farm: Farm, { species, perM2 }: ThresholdTried): Farm {
  return { ...farm, thresholdPerM2: { ...farm.thresholdPerM2, [species]: perM2 } };
}

export class Shading {
  private readonly chosen = $derived.by(() => MAP_SHADES[this.desk.view.shade ?? SHADE_OF_PLACE[this.desk.view.place]]);
  /** Of a threshold that is tried, its chances. */
  readonly shade = $derived.by(() => (this.desk.stage.thresholdTried ? MAP_SHADES.chance : this.chosen));
  readonly species = $derived.by(() => this.desk.view.species ?? mainSpecies(this.desk.analysis.study));
  private shaded: Farm | null = null;
  /** The document, the same object as before while nothing changed in it that a shade reads. */
  private readonly farm = $derived.by<Farm | null>(() => {
    const { farm } = this.desk;
    return (this.shaded = this.shaded && farm && shadesAlike(this.shaded, farm) ? this.shaded : farm);
  });
  /** As the study has it. */
  private readonly studied = $derived.by<ShadeContext | null>(() => {
    const { analysis, view } = this.desk;
    const { farm } = this;
    const { study } = analysis;
    return farm && study && { farm, study, season: view.season ?? study.farm.season, species: this.species };
  });
  readonly context = $derived.by<ShadeContext | null>(() => {
    const tried = this.desk.stage.thresholdTried;
    return this.studied && tried ? { ...this.studied, farm: withThreshold(this.studied.farm, tried) } : this.studied;
  });
  private readonly answers: FieldAnswers<MapGrid>;
  /** The grid of the shade in each field that has one; null where none is drawn, or not yet. */
  readonly grids = $derived.by<Grids | null>(() => {
    const tried = this.desk.stage.thresholdTried;
    return tried ? gridsTried(tried) : this.answers.all;
  });
  /** Grids are drawn inside of fields where this is not null. */
  readonly drawn = $derived.by(() => (this.desk.stage.scene.surface ? this.grids : null));
  readonly readings = $derived.by<Readings>(() => {
    const tried = this.desk.stage.thresholdTried;
    if (!this.context) return NO_READINGS;
    return tried ? readingsTried(this.context, tried) : readingsOf(this.shade, this.context, this.grids);
  });
  private readonly scales = $derived.by(() =>
    this.context ? scalesOf(this.shade, this.context, this.readings, this.drawn) : null,
  );

  /** To be made while a component is. */
  constructor(private readonly desk: Desk) {
    this.answers = new FieldAnswers(() => this.wanted());
  }

  private readonly colorAt = $derived.by(() => rampColors(this.shade.ramp, this.desk.theme.ground));

  scaleOf(group: string): ShadeScale | null {
    return this.scales?.get(group) ?? null;
  }

  groupOf(field: string): string {
    return this.context ? groupOf(this.shade, this.context, field) : '';
  }

  /** null where nothing is known. */
  color(value: number | null, group: string): string | null {
    const scale = this.scaleOf(group);
    return value === null || scale === null ? null : this.colorAt(scale.place(value));
  }

  /** What a brush on the legend belongs to. */
  readonly brushedAs = $derived.by(() => `${this.shade.id} ${this.context?.season ?? ''} ${this.species}`);
  readonly brush = $derived.by(() => {
    const { brush } = this.desk.stage;
    return brush?.of === this.brushedAs ? brush : null;
  });
  /** Whether a value lies in what was brushed on the legend. */
  isBrushed(value: number): boolean {
    const { brush } = this;
    return brush === null || (value >= brush.low && value <= brush.high);
  }

  private wanted() {
    const { analysis, stage } = this.desk;
    const { inside } = this.chosen;
    const { species } = this;
    const context = this.studied;
    if (!context || context.season === null || inside === null || analysis.isFirstLook) return null;
    const { season, farm, study } = context;
    if (!stage.scene.surface && season === study.farm.season) return null;
    const ask = { quantity: inside.quantity, season, species };
    return {
      subject: `${farm.id} ${inside.quantity} ${season} ${species}`,
      generation: analysis.generation,
      fields: farm.fields.map((one) => one.id),
      ask: async (field: string) => {
        const answer = await analysis.ask('map grid', { ...ask, field });
        return answer && { ...answer, values: answer.values.map((value) => inside.of(value)) };
      },
    };
  }
}
