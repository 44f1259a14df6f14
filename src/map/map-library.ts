/** The map library, in a chunk of its own: this file alone takes values from it. */
import regular from '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-400-normal.woff2?url';
import bold from '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-700-normal.woff2?url';
import { addProtocol, Map, setWorkerUrl, type StyleSpecification } from 'maplibre-gl';
import workerUrl from 'maplibre-gl/dist/maplibre-gl-worker.mjs?worker&url';
import type { Bounds } from '../../shared/geometry/types.ts';
import { fitPadding, FONT, FONT_BOLD } from './gl-sheet.ts';
import type { Inks } from './inks.ts';

setWorkerUrl(workerUrl);

/** Nothing but paper, and the letters that the tool brings along: no request leaves the page. */
export function blankStyle({ paper }: Inks): StyleSpecification {
  return {
    version: 8,
    'font-faces': { [FONT]: regular, [FONT_BOLD]: bold },
    sources: {},
    layers: [{ id: 'paper', type: 'background', paint: { 'background-color': paper } }],
  };
}

/** Degrees of zoom between which fields and single rows are looked at. */
const [FARTHEST, NEAREST] = [7, 22];

/** North up, flat, without the library's own buttons and keys. @throws where the browser has no WebGL 2 */
export function openMap(container: HTMLElement, inks: Inks, bounds: Bounds): Map {
  const map = new Map({
    container,
    style: blankStyle(inks),
    bounds: [...bounds],
    fitBoundsOptions: { padding: fitPadding(container) },
    attributionControl: false,
    keyboard: false,
    dragRotate: false,
    pitchWithRotate: false,
    touchPitch: false,
    maxPitch: 0,
    minZoom: FARTHEST,
    maxZoom: NEAREST,
    renderWorldCopies: false,
    fadeDuration: 0,
  });
  map.touchZoomRotate.disableRotation();
  return map;
}

/** Tiles of an archive that the person gave are asked of the archive itself. The reader comes with the first of them. */
addProtocol('pmtiles', async (request, abort) => {
  const { askForTile } = await import('./base-map/pmtiles-archive.ts');
  return askForTile(request, abort);
});
