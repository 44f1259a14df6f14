/** A PMTiles archive that the person gave: read in this page, never sent. Loaded only when one is. */
import { FileSource, PMTiles, Protocol, TileType } from 'pmtiles';
import type { Bounds } from '../../../shared/geometry/types.ts';
import { done, type Outcome, problem, refused } from '../../../shared/model/problem.ts';

export interface OpenArchive {
  /** For a source of the map. */
  readonly url: string;
  /** Names of the layers of shapes; null where the archive holds pictures. */
  readonly layers: readonly string[] | null;
  readonly bounds: Bounds;
  readonly attribution: string;
}

/** The library's own way of asking for tiles of an archive. */
export type TileAsking = Protocol['tile'];

const protocol = new Protocol();
export const askForTile: TileAsking = protocol.tile;

const HOW = 'Any program that writes PMTiles version 3 can make one, with picture tiles or with shapes.';

export async function openPmtiles(file: File): Promise<Outcome<OpenArchive>> {
  const no = (text: string) =>
    refused(problem('error', 'base-map-file', text, { where: { file: file.name }, hint: HOW }));
  const archive = new PMTiles(new FileSource(file));
  try {
    const header = await archive.getHeader();
    const { attribution, vector_layers } = (await archive.getMetadata()) as Record<string, unknown>;
    const shapes = header.tileType === TileType.Mvt;
    const layers = Array.isArray(vector_layers) ? vector_layers.map((one: { id: unknown }) => String(one.id)) : [];
    if (shapes && layers.length === 0) return no(`${file.name} holds shapes but does not name their layers.`);
    protocol.add(archive);
    return done({
      url: `pmtiles://${archive.source.getKey()}`,
      layers: shapes ? layers : null,
      bounds: [header.minLon, header.minLat, header.maxLon, header.maxLat],
      attribution: typeof attribution === 'string' ? plainText(attribution) : '',
    });
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return no(`${file.name} cannot be read as a PMTiles archive: ${why}.`);
  }
}

/** Archives bring their attribution as markup; here it is only said. */
function plainText(markup: string): string {
  return markup
    .replace(/<[^>]*>/g, '')
    .replace(/&copy;/g, '©')
    .replace(/&amp;/g, '&')
    .trim();
}
