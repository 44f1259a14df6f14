/** The person's own base map, under everything else. */
import type { BaseSource } from '../base-map/base-layer.svelte.ts';
import type { OpenArchive } from '../base-map/pmtiles-archive.ts';
import type { PlacedPicture } from '../base-map/geotiff-picture.ts';
import type { GlSheet, MapLayer } from '../gl-sheet.ts';

const SOURCE = 'base map';

export const baseMapLayer: MapLayer = {
  id: 'base map',
  open(sheet) {
    const added: string[] = [];
    let shown: BaseSource | null = null;
    const clear = () => {
      for (const id of added.splice(0)) sheet.map.removeLayer(id);
      if (sheet.map.getSource(SOURCE)) sheet.map.removeSource(SOURCE);
    };
    return [
      ({ baseMap: { source } }) => {
        if (shown === source || (source?.kind === 'address' && shown?.kind === 'address' && shown.url === source.url))
          return;
        shown = source;
        clear();
        if (source) added.push(...show(sheet, source));
      },
      ({ baseMap: { opacity, source } }) => {
        for (const id of source ? added : []) {
          const kind = sheet.map.getLayer(id)?.type;
          const property = kind === 'raster' ? 'raster-opacity' : kind === 'line' ? 'line-opacity' : 'fill-opacity';
          sheet.map.setPaintProperty(id, property, kind === 'fill' ? opacity / 4 : opacity);
        }
      },
    ];
  },
};

/** @returns ids of the style layers */
function show(sheet: GlSheet, source: BaseSource): readonly string[] {
  if (source.kind === 'picture') return showPicture(sheet, source.picture);
  if (source.kind === 'archive') return showArchive(sheet, source.archive);
  sheet.map.addSource(SOURCE, { type: 'raster', tiles: [source.url], tileSize: 256 });
  return raster(sheet);
}

function showArchive(sheet: GlSheet, { url, layers }: OpenArchive): readonly string[] {
  sheet.map.addSource(SOURCE, layers ? { type: 'vector', url } : { type: 'raster', url, tileSize: 256 });
  if (!layers) return raster(sheet);
  const { ink, inkSoft } = sheet.inks;
  return layers.flatMap((name) => {
    const [areas, lines] = [`${SOURCE} areas ${name}`, `${SOURCE} lines ${name}`];
    const from = { source: SOURCE, 'source-layer': name };
    sheet.put({
      id: areas,
      type: 'fill',
      ...from,
      filter: ['==', ['geometry-type'], 'Polygon'],
      paint: { 'fill-color': inkSoft },
    });
    sheet.put({ id: lines, type: 'line', ...from, paint: { 'line-color': ink, 'line-width': 0.75 } });
    return [areas, lines];
  });
}

function showPicture(sheet: GlSheet, { pixels, bounds }: PlacedPicture): readonly string[] {
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [pixels.width, pixels.height];
  const image = new ImageData(new Uint8ClampedArray(pixels.rgba), pixels.width, pixels.height);
  canvas.getContext('2d', { willReadFrequently: true })!.putImageData(image, 0, 0);
  const [west, south, east, north] = bounds;
  const coordinates = [
    [west, north],
    [east, north],
    [east, south],
    [west, south],
  ];
  sheet.map.addSource(SOURCE, { type: 'canvas', canvas, animate: false, coordinates } as never);
  return raster(sheet);
}

function raster(sheet: GlSheet): readonly string[] {
  sheet.put({ id: SOURCE, type: 'raster', source: SOURCE, paint: { 'raster-fade-duration': 0 } });
  return [SOURCE];
}
