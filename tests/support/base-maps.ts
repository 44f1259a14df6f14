/** Base maps of one color, as a person may have them: a server of tiles, a PMTiles archive, a GeoTIFF. */
import { createServer, type IncomingHttpHeaders } from 'node:http';
import type { AddressInfo } from 'node:net';
import { writeArrayBuffer } from 'geotiff';

/** Red, as each of them shows it. */
const INK = [200, 0, 60] as const;
/** One pixel of it. */
const PNG = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGM4wWADAAKYAQWfmDLAAAAAAElFTkSuQmCC',
  'base64',
);

export interface TileServer {
  /** As it is typed. */
  readonly address: string;
  readonly asked: readonly { readonly path: string; readonly headers: IncomingHttpHeaders }[];
  readonly close: () => void;
}

/** Of this machine: it notes whatever it is asked for. */
export async function tileServer(): Promise<TileServer> {
  const asked: TileServer['asked'][number][] = [];
  const server = createServer(({ url, headers }, answer) => {
    asked.push({ path: url ?? '', headers });
    answer.writeHead(200, { 'Content-Type': 'image/png', 'Access-Control-Allow-Origin': '*' }).end(PNG);
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  const { port } = server.address() as AddressInfo;
  return { address: `http://127.0.0.1:${port}/tiles/{z}/{x}/{y}.png`, asked, close: () => server.close() };
}

/** PMTiles version 3 of one picture, that of the whole world: a header of 127 bytes, the directory, the metadata, the tile. */
export function pmtiles(attribution: string): Uint8Array {
  const metadata = Buffer.from(JSON.stringify({ attribution }));
  // One entry: tile 0, run of 1, its length, its offset (1 more than 0).
  const directory = Buffer.from([1, 0, 1, PNG.length, 1]);
  const header = Buffer.alloc(127);
  header.write('PMTiles', 'ascii');
  header.writeUInt8(3, 7);
  const parts = [directory.length, metadata.length, 0, PNG.length];
  let at = header.length;
  parts.forEach((length, index) => {
    header.writeBigUInt64LE(BigInt(at), 8 + 16 * index);
    header.writeBigUInt64LE(BigInt(length), 16 + 16 * index);
    at += length;
  });
  for (const place of [72, 80, 88]) header.writeBigUInt64LE(1n, place);
  // Clustered; directory and tiles not compressed; pictures of PNG; zoom 0 to 0; the world.
  header.set([1, 1, 1, 2, 0, 0], 96);
  [-180, -85, 180, 85].forEach((degrees, index) => header.writeInt32LE(degrees * 1e7, 102 + 4 * index));
  return Buffer.concat([header, directory, metadata, PNG]);
}

/** In degrees of WGS 84, of so many degrees each way about a place. */
export function geoTiff([lon, lat]: readonly [number, number], halfDegrees: number): Uint8Array {
  const bytes = writeArrayBuffer(Uint8Array.from([INK, INK, INK, INK].flat()), {
    height: 2,
    width: 2,
    SamplesPerPixel: 3,
    BitsPerSample: [8, 8, 8],
    PhotometricInterpretation: 2,
    GTModelTypeGeoKey: 2,
    GTRasterTypeGeoKey: 1,
    GeographicTypeGeoKey: 4326,
    ModelPixelScale: [halfDegrees, halfDegrees, 0],
    ModelTiepoint: [0, 0, 0, lon - halfDegrees, lat + halfDegrees, 0],
  } as never);
  return new Uint8Array(bytes as ArrayBuffer);
}
