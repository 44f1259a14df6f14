/** All that the layers of the map draw. Each part is derived: a layer that reads one is drawn again when that one changed. */
import type { LonLat, MultiPolygon } from '../../shared/geometry/types.ts';
import { shownUnit } from '../../shared/units/format.ts';
import { UNITS } from '../../shared/units/units.ts';
import type { Desk } from '../state/desk.svelte.ts';
import type { Following, Marker, Retrace, Walked } from '../state/stage.svelte.ts';
import type { MapGrid, ScoutedPlace, ShownPath } from '../state/answers.ts';
import type { BaseLayer } from './base-map/base-layer.svelte.ts';
import type { Camera, Seen } from './camera.svelte.ts';
import { classAt, edgesBelow, rampPlace } from './classes.ts';
import { cutTimes } from './cut-times.ts';
import { FieldAnswers } from './field-answers.svelte.ts';
import { type FieldShape, fieldShapes, overlap } from './field-shapes.ts';
import { type Inks, INKS } from './inks.ts';
import { NO_PATHS, type Paths } from './path-points.ts';
import { lettersOn, rampColor, SAND_TO_UMBER } from './ramp.ts';
import { shadeScale } from './shade-scale.ts';
import type { Shading } from './shading.svelte.ts';
import { MAP_SHADES, shownIn, unitInWords } from './shades.ts';

export interface PicturedField extends FieldShape {
  /** null: unknown, hatched. */
  readonly color: string | null;
  /** Outside of what was brushed on the legend. */
  readonly faint: boolean;
  /** Short, inside the field; '' while nothing is known. */
  readonly mark: string;
  readonly words: string;
  readonly letters: string;
}

/** A grid drawn inside of a field, in the place of its one color. */
export interface Surface {
  readonly shape: FieldShape;
  readonly grid: MapGrid;
  readonly group: string;
}

export interface PicturedZone {
  readonly id: string;
  readonly letter: string;
  readonly area: MultiPolygon;
  readonly proposed: boolean;
}

/** Seed that is followed, inside its field; and its key. */
export interface PicturedTrace {
  readonly shape: FieldShape;
  readonly ground: MultiPolygon;
  readonly map: MapGrid;
  readonly title: string;
  /** What it is of and what it rests on, for a picture that leaves the page. */
  readonly told: readonly string[];
  readonly unitSaid: string;
  /** One value of each class, and what is printed between; the first class is none. */
  readonly classValues: readonly number[];
  readonly classEdges: readonly string[];
  color(value: number): string;
  /** "12/ft² here". */
  words(value: number): string;
}

export interface PicturedNeighbor {
  readonly id: string;
  readonly kind: string;
  readonly note: string;
  readonly at: LonLat | null;
  readonly area: MultiPolygon | null;
}

/** Of the most in a cell: less is drawn as none. */
const LEAST_OF_TRACE = 1e-4;
/** Of the most in a cell: where classes meet, so that the thick of it and its tail are both told apart. */
const TRACE_CLASSES = [0.001, 0.01, 0.1, 0.4];
/** A cell is worth drawing from this size on screen. */
const LEAST_CELL_PX = 1.5;

export class Picture {
  readonly inks = $derived.by<Inks>(() => INKS[this.desk.theme.ground]);
  // Members of the document that an edit did not change stay the same objects: what rests on one is not drawn again.
  private readonly ground = $derived.by(() => this.desk.farm?.fields);
  private readonly around = $derived.by(() => this.desk.farm?.neighbors);
  private readonly zoneSets = $derived.by(() => this.desk.farm?.zoneSets);
  readonly shapes = $derived.by<readonly FieldShape[]>(() => fieldShapes(this.ground ?? []));
  readonly fields = $derived.by<readonly PicturedField[]>(() => this.shapes.map((shape) => this.pictured(shape)));
  readonly surfaces = $derived.by<readonly Surface[]>(() => this.surfacesInSight());
  /** Ids of the fields that a surface is drawn in. */
  readonly withSurface = $derived.by<readonly string[]>(() => {
    const now = this.surfaces.map((one) => one.shape.id);
    // The same object while they are the same: values that change redraw no label.
    return (this.surfaced = now.join() === this.surfaced.join() ? this.surfaced : now);
  });
  private surfaced: readonly string[] = [];
  readonly places = $derived.by<readonly ScoutedPlace[]>(() => {
    const { all } = this.placesAnswer;
    return this.desk.stage.scene.points && all ? [...all.values()].flat() : [];
  });
  readonly paths = $derived.by<Paths>(() => {
    return this.desk.stage.scene.passes || this.retracedField !== null ? (this.pathsAnswer.all ?? NO_PATHS) : NO_PATHS;
  });
  readonly zones = $derived.by<readonly PicturedZone[]>(() => (this.desk.stage.scene.zones ? this.zonesOfAll() : []));
  readonly neighbors = $derived.by<readonly PicturedNeighbor[]>(() => {
    if (!this.desk.stage.scene.neighbors) return [];
    return (this.around ?? []).map((one) => ({
      id: one.id,
      kind: one.kind,
      note: one.note,
      at: 'at' in one ? one.at : null,
      area: 'area' in one ? (one.area as MultiPolygon) : null,
    }));
  });
  readonly traced = $derived.by<PicturedTrace | null>(() => this.tracedIn());
  /** Each frame of a retrace is another moment of the same field: what hangs on the field alone is not worked out again. */
  readonly retracedField = $derived.by(() => this.retrace?.field ?? null);
  /** Whether it goes on by itself: a sheet over the map shows it then, and the map is not drawn for each moment. */
  readonly isPlaying = $derived.by(() => this.retrace?.plays === true);
  /** Where it stands still, seconds since the first point; null while it plays. */
  readonly heldAtS = $derived.by(() => (this.isPlaying ? null : (this.retrace?.atS ?? null)));
  /** When the combine passed each cell of the field that is retraced, seconds since its first point; NaN where it never did. */
  readonly cutTimes = $derived.by<Float32Array | null>(() => {
    const field = this.retracedField;
    const grid = field === null ? undefined : this.shading.grids?.get(field)?.grid;
    const path = field === null ? undefined : this.paths.get(field);
    return grid && path ? cutTimes(path, grid) : null;
  });
  private readonly placesAnswer: FieldAnswers<readonly ScoutedPlace[]>;
  private readonly pathsAnswer: FieldAnswers<ShownPath>;

  /** To be made while a component is. */
  constructor(
    private readonly desk: Desk,
    readonly shading: Shading,
    private readonly camera: Camera,
    readonly baseMap: BaseLayer,
  ) {
    this.placesAnswer = new FieldAnswers(() => this.wanted('scouted places', desk.stage.scene.points === true));
    this.pathsAnswer = new FieldAnswers(() =>
      this.wanted('harvest path', desk.stage.scene.passes === true || this.retracedField !== null),
    );
  }

  /** What is on screen just now, while moving too. */
  get seen(): Seen | null {
    return this.camera.seen;
  }
  get selected(): string | null {
    return this.desk.view.field;
  }
  get markers(): readonly Marker[] {
    return this.desk.stage.scene.markers ?? [];
  }
  get flagged(): readonly LonLat[] {
    return this.desk.stage.flagged;
  }
  get walked(): Walked | null {
    return this.desk.stage.scene.walked ?? null;
  }
  get following(): Following | null {
    return this.desk.stage.following;
  }
  get retrace(): Retrace | null {
    return this.desk.stage.retrace;
  }
  /** The scouted places of the species that the map looks at. */
  get shownPlaces(): readonly ScoutedPlace[] {
    return this.places.filter((one) => one.species === this.shading.species);
  }

  /** Of a counted place: the map's own color where it is shaded by density, else by the classes of what was counted. */
  readonly densityColor = $derived.by<(densityPerM2: number) => string>(() => {
    const { shading } = this;
    const { ground } = this.desk.theme;
    const { ramp, scale, least } = MAP_SHADES.density;
    const own = shadeScale(
      { scale, least },
      this.shownPlaces.map((one) => one.count / one.effortM2),
      1,
    );
    const used = (shading.shade.id === 'density' ? shading.scaleOf('') : null) ?? own;
    return (density) => rampColor(ramp, used.place(density), ground);
  });

  private pictured(shape: FieldShape): PicturedField {
    const { shading } = this;
    const reading = shading.readings.get(shape.id);
    const value = reading?.value ?? null;
    const color = reading ? shading.color(value, reading.group) : null;
    const unit = shading.context && shading.shade.unit(shading.context, reading?.group ?? '');
    return {
      ...shape,
      color,
      faint: value !== null && !shading.isBrushed(value),
      mark:
        reading === undefined ? '' : value === null || unit === null ? '?' : shownIn({ ...unit, after: '' }, value, 2),
      words: reading?.words ?? '',
      letters: color === null ? this.inks.ink : lettersOn(color),
    };
  }

  private surfacesInSight(): readonly Surface[] {
    const { shading, selected } = this;
    const sight = this.camera.atRest;
    const grids = shading.drawn;
    if (!grids || !sight) return [];
    return this.shapes.flatMap((shape): Surface[] => {
      const grid = grids.get(shape.id);
      if (!grid || shape.id === this.traced?.shape.id || !overlap(shape.bounds, sight.bounds)) return [];
      const near = grid.grid.cellM * sight.pxPerM >= LEAST_CELL_PX;
      return near || shape.id === selected || shape.id === this.retracedField
        ? [{ shape, grid, group: shading.groupOf(shape.id) }]
        : [];
    });
  }

  private tracedIn(): PicturedTrace | null {
    const { following } = this;
    const shape = this.shapes.find((one) => one.id === following?.field);
    if (!following?.shown || !shape) return null;
    const { display } = this.desk.farm!;
    const { factor, symbol } = UNITS[shownUnit('count per area', display)];
    const unit = { before: '', after: symbol, factor };
    const { map, ground, title, told } = following.shown;
    const most = map.values.reduce((a, b) => (b > a ? b : a), 0);
    const least = LEAST_OF_TRACE * most;
    const edges = edgesBelow(most, TRACE_CLASSES, factor);
    const theme = this.desk.theme.ground;
    const none = this.inks.paper;
    return {
      shape,
      ground,
      map,
      title,
      told,
      unitSaid: unitInWords(unit),
      classValues: [0, Math.min(2 * least, edges[0] ?? most), ...edges],
      classEdges: ['', ...edges.map((edge) => shownIn({ ...unit, after: '' }, edge, 2))],
      color: (value) =>
        value > least ? rampColor(SAND_TO_UMBER, rampPlace(classAt(edges, value), edges), theme) : none,
      words: (value) => `${shownIn(unit, value, 2)} here`,
    };
  }

  private zonesOfAll(): readonly PicturedZone[] {
    const { analysis, stage } = this.desk;
    const season = analysis.study?.farm.season ?? null;
    const tried = stage.zonesTried;
    return (analysis.study?.fields ?? []).flatMap((field): PicturedZone[] => {
      if (tried?.field === field.id) return tried.zones.map((one) => ({ ...one, proposed: true }));
      const set = this.zoneSets?.find((one) => one.field === field.id && season !== null && one.season === season + 1);
      return set
        ? set.zones.map(({ id, letter, area }) => ({ id, letter, area: area as MultiPolygon, proposed: false }))
        : field.zones.map(({ id, area }) => ({ id, letter: id.slice(id.lastIndexOf('-') + 1), area, proposed: true }));
    });
  }

  private wanted<K extends 'scouted places' | 'harvest path'>(question: K, isWanted: boolean) {
    const { analysis } = this.desk;
    const { context } = this.shading;
    if (!isWanted || !context || context.season === null || analysis.isFirstLook) return null;
    const { farm, season } = context;
    return {
      subject: `${farm.id} ${season}`,
      generation: analysis.generation,
      fields: farm.fields.map((one) => one.id),
      ask: (field: string) => analysis.ask(question, { field, season }),
    };
  }
}
