/** What the colors on the map mean, and how the values on screen are spread. */
import { formatQuantity } from '../../shared/units/format.ts';
import type { Desk } from '../state/desk.svelte.ts';
import type { Camera } from './camera.svelte.ts';
import { boundsOfAll } from './field-shapes.ts';
import { type Spread, spreadOf } from './histogram.ts';
import { onScreen } from './on-screen.ts';
import type { Picture } from './picture.svelte.ts';
import type { Shading } from './shading.svelte.ts';
import { shownIn, unitInWords } from './shades.ts';

const BINS = 40;

export class MapKey {
  readonly groups = $derived.by<readonly string[]>(() =>
    [...this.shading.readings.values()]
      .map((one) => one.group)
      .filter((group, index, all) => all.indexOf(group) === index),
  );
  /** Of several groups the one of the chosen field, else the one with the most fields. */
  private readonly group = $derived.by<string>(() => {
    const { readings } = this.shading;
    const chosen = this.picture.selected === null ? undefined : readings.get(this.picture.selected)?.group;
    const fields = (of: string) => [...readings.values()].filter((one) => one.group === of).length;
    return chosen ?? [...this.groups].sort((a, b) => fields(b) - fields(a))[0] ?? '';
  });
  private readonly areasM2 = $derived.by<Readonly<Record<string, number>>>(() =>
    Object.fromEntries((this.desk.analysis.study?.fields ?? []).map((one) => [one.id, one.areaM2])),
  );
  private readonly seen = $derived.by(() => {
    const { shapes, surfaces } = this.picture;
    const bounds = this.camera.atRest?.bounds ?? boundsOfAll(shapes.map((one) => one.bounds));
    const areaOf = (field: string) => this.areasM2[field] ?? 0;
    return bounds && onScreen(shapes, this.shading.readings, surfaces, bounds, this.group, areaOf);
  });
  private readonly unit = $derived.by(() => {
    const { context, shade } = this.shading;
    return context && shade.unit(context, this.group);
  });
  readonly spread = $derived.by<Spread | null>(() => {
    const { scale, least } = this.shading.shade;
    if (!this.seen || !this.unit) return null;
    return spreadOf(this.seen.values, { kind: scale === 'signed' ? 'linear' : scale, bins: BINS, least });
  });
  readonly edges = $derived.by<readonly number[]>(() => this.shading.scaleOf(this.group)?.edges ?? []);
  readonly title = $derived.by<string>(() => {
    const { context, shade } = this.shading;
    return context ? shade.title(context, this.group) : '';
  });
  readonly unitSaid = $derived.by<string>(() => (this.unit ? unitInWords(this.unit) : ''));
  /** One value of each class, the lowest first; ranks one by one. */
  readonly classValues = $derived.by<readonly number[]>(() => {
    const axis = this.spread?.axis;
    if (axis?.kind === 'rank') return Array.from({ length: axis.high - 0.5 }, (_, index) => axis.high - 0.5 - index);
    return [this.edges.length === 0 ? (axis?.low ?? 0) : -Infinity, ...this.edges];
  });
  /** What is printed between each class and the next; '' where nothing is. */
  readonly classEdges = $derived.by<readonly string[]>(() => {
    if (this.spread?.axis?.kind !== 'rank') return this.edges.map((value) => this.plain(value));
    return this.classValues
      .slice(1)
      .map((value, index, { length }) => (index === 0 ? this.plain(value + 1) : index === length - 1 ? '1' : ''));
  });
  /** How much of what is on screen is known, and how much is not: "1,394 ac", "13 fields". */
  readonly known = $derived.by<string>(() => {
    const all = (this.seen?.values ?? []).reduce((total, one) => total + one.weight, 0);
    return this.amount(all - (this.spread?.unknown ?? 0));
  });
  readonly unknown = $derived.by<string>(() => this.amount(this.spread?.unknown ?? 0));

  /** To be made while a component is. */
  constructor(
    private readonly desk: Desk,
    private readonly picture: Picture,
    private readonly camera: Camera,
  ) {}

  private get shading(): Shading {
    return this.picture.shading;
  }

  color(value: number): string {
    return this.shading.color(value, this.group) ?? 'none';
  }

  /** Without its unit, which stands in the title. */
  plain(value: number): string {
    return this.unit ? shownIn({ ...this.unit, after: '' }, value, 2) : '';
  }

  private amount(weight: number): string {
    if (this.seen?.weighedBy === 'area') return formatQuantity(weight, 'area', this.desk.farm?.display ?? 'us');
    return `${weight} field${weight === 1 ? '' : 's'}`;
  }
}
