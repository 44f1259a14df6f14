/** What the map shows besides the shaded fields. A place sets it when it is entered; the map draws it. */
import type { LonLat, MultiPolygon } from '../../shared/geometry/types.ts';
import type { MapGrid } from './answers.ts';

export interface Marker {
  readonly at: LonLat;
  /** One or two characters inside the mark. */
  readonly mark: string;
  /** For those who hear the map, and shown beside it. */
  readonly words: string;
  /** Marks of one group are drawn as one from afar. */
  readonly group?: string;
}

/** Where somebody walked, and the places that they marked. */
export interface Walked {
  readonly lines: readonly (readonly LonLat[])[];
  readonly places: readonly { readonly at: LonLat; readonly words: string }[];
}

export interface Retrace {
  readonly field: string;
  /** Seconds since the first point of the path. */
  readonly atS: number;
  /** It goes on by itself: each frame is another moment. */
  readonly plays: boolean;
}

/** Seed of a field is being followed: a press in the field asks, and the answer is drawn in the place of its shade. */
export interface Following {
  readonly field: string;
  /** Drawn grounds that a press takes whole. */
  readonly grounds: readonly MultiPolygon[];
  press(at: LonLat): void;
  /** Back to the shade. */
  close(): void;
  readonly shown: {
    readonly title: string;
    /** What it is of and what it rests on, for a picture that leaves the page. */
    readonly told: readonly string[];
    readonly ground: MultiPolygon;
    readonly map: MapGrid;
  } | null;
}

export interface Scene {
  /** Draw the grid of the current shade inside the selected field (inside all fields where they are near enough). */
  readonly surface?: boolean;
  readonly points?: boolean;
  readonly passes?: boolean;
  readonly zones?: boolean;
  readonly neighbors?: boolean;
  readonly markers?: readonly Marker[];
  readonly walked?: Walked | null;
}

/** Zones of a field as they would be, shown in place of those that it has. */
export interface ZonesTried {
  readonly field: string;
  readonly zones: readonly { readonly id: string; readonly letter: string; readonly area: MultiPolygon }[];
}

/** A weed's threshold that is tried on one field: its chances are shown in place of the shade. */
export interface ThresholdTried {
  readonly field: string;
  readonly species: string;
  readonly perM2: number;
  readonly map: MapGrid | null;
  /** Of the infested ground. */
  readonly share: number | null;
  readonly words: string;
}

/** What was brushed on the legend. */
export interface Brush {
  /** The shade and season that it belongs to: under another it means nothing. */
  readonly of: string;
  /** SI, both ends in. */
  readonly low: number;
  readonly high: number;
}

export class Stage {
  private shown = $state.raw<Scene>({});
  private retraced = $state.raw<Retrace | null>(null);
  private range = $state.raw<Brush | null>(null);
  private fits = $state.raw<{ readonly field: string | null; readonly n: number }>({ field: null, n: 0 });
  private point = $state.raw<LonLat | null>(null);
  private flags = $state.raw<readonly LonLat[]>([]);
  private moved = $state.raw<ThresholdTried | null>(null);
  private followed = $state.raw<Following | null>(null);
  private tried = $state.raw<ZonesTried | null>(null);

  get scene(): Scene {
    return this.shown;
  }
  set(scene: Scene): void {
    this.shown = scene;
  }
  /** Where the combine stands while its way is retraced; null: the whole way. */
  get retrace(): Retrace | null {
    return this.retraced;
  }
  retraceTo(retrace: Retrace | null): void {
    this.retraced = retrace;
  }
  /** Only values in this range are drawn in full: brushed on the legend. */
  get brush(): Brush | null {
    return this.range;
  }
  brushTo(range: Brush | null): void {
    this.range = range;
  }
  /** The last wish to fit the map to a field (null: the farm); a new object each time. */
  get fit(): { readonly field: string | null; readonly n: number } {
    return this.fits;
  }
  fitTo(field: string | null): void {
    this.fits = { field, n: this.fits.n + 1 };
  }
  /** Records of a log with a flag that is looked at. */
  get flagged(): readonly LonLat[] {
    return this.flags;
  }
  markFlagged(at: readonly LonLat[]): void {
    this.flags = at;
  }
  get thresholdTried(): ThresholdTried | null {
    return this.moved;
  }
  tryThreshold(moved: ThresholdTried | null): void {
    this.moved = moved;
  }
  get following(): Following | null {
    return this.followed;
  }
  follow(following: Following | null): void {
    this.followed = following;
  }
  get zonesTried(): ZonesTried | null {
    return this.tried;
  }
  tryZones(tried: ZonesTried | null): void {
    this.tried = tried;
  }
  /** Where the pointer or the keyboard's cross is, for coordinates and typed places. */
  get pointer(): LonLat | null {
    return this.point;
  }
  pointAt(at: LonLat | null): void {
    this.point = at;
  }
}
