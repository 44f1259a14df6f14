/** The base map that is shown beneath the fields: from an address, or from a file of the person's own. Never without being asked for. */
import type { Problem } from '../../../shared/model/problem.ts';
import type { BaseMap } from '../../state/base-map.svelte.ts';
import type { PlacedPicture } from './geotiff-picture.ts';
import type { OpenArchive } from './pmtiles-archive.ts';

export type BaseSource =
  | { readonly kind: 'address'; readonly url: string }
  | { readonly kind: 'archive'; readonly archive: OpenArchive }
  | { readonly kind: 'picture'; readonly picture: PlacedPicture };

interface Given {
  readonly name: string;
  readonly source: BaseSource;
  readonly attribution: string;
  readonly notes: readonly string[];
}

const USUAL_OPACITY = 0.8;
const ATTRIBUTION_KEPT_AS = 'seedfall.base-map.attribution';

export class BaseLayer {
  private given = $state.raw<Given | null>(null);
  private told = $state.raw<readonly Problem[]>([]);
  private reading = $state<string | null>(null);
  private typedAttribution = $state('');
  private shown = $state(USUAL_OPACITY);

  constructor(
    private readonly address: BaseMap,
    private readonly kept: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> | null,
  ) {
    this.typedAttribution = kept?.getItem(ATTRIBUTION_KEPT_AS) ?? '';
  }

  get source(): BaseSource | null {
    if (this.given) return this.given.source;
    const url = this.address.tileUrl;
    return url === null ? null : { kind: 'address', url };
  }
  /** Whose map it is, for the edge of the map. */
  get attribution(): string {
    return this.given ? this.given.attribution : this.source ? this.typedAttribution : '';
  }
  /** What is shown, in words; null where nothing is. */
  get name(): string | null {
    return this.given?.name ?? (this.source ? `tiles from ${this.address.server}` : null);
  }
  get notes(): readonly string[] {
    return this.given?.notes ?? [];
  }
  get problems(): readonly Problem[] {
    return this.told;
  }
  /** Name of the file that is being read. */
  get busyWith(): string | null {
    return this.reading;
  }
  get opacity(): number {
    return this.shown;
  }
  fadeTo(opacity: number): void {
    this.shown = opacity;
  }

  async useAddress(typed: string, attribution: string): Promise<void> {
    const refusal = await this.address.set(typed);
    this.told = refusal ? [refusal] : [];
    if (refusal) return;
    this.given = null;
    this.typedAttribution = attribution.trim();
    this.kept?.setItem(ATTRIBUTION_KEPT_AS, this.typedAttribution);
  }

  async useFile(file: File): Promise<void> {
    this.reading = file.name;
    this.told = [];
    try {
      if (/\.pmtiles$/i.test(file.name)) await this.useArchive(file);
      else await this.usePicture(file);
    } finally {
      this.reading = null;
    }
  }

  async clear(): Promise<void> {
    this.given = null;
    this.told = [];
    this.typedAttribution = '';
    this.kept?.removeItem(ATTRIBUTION_KEPT_AS);
    await this.address.clear();
  }

  private async useArchive(file: File): Promise<void> {
    const { openPmtiles } = await import('./pmtiles-archive.ts');
    const opened = await openPmtiles(file);
    this.told = opened.problems;
    if (!opened.ok) return;
    const archive = opened.value;
    this.given = { name: file.name, source: { kind: 'archive', archive }, attribution: archive.attribution, notes: [] };
  }

  private async usePicture(file: File): Promise<void> {
    const { readGeoTiff } = await import('./geotiff-picture.ts');
    const read = await readGeoTiff(file, file.name);
    this.told = read.problems;
    if (!read.ok) return;
    const { attribution, notes } = read.value;
    this.given = { name: file.name, source: { kind: 'picture', picture: read.value }, attribution, notes };
  }
}
