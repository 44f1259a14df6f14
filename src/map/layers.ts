/** The layers of the map, from the paper upward; the only place that lists them. */
import type { MapLayer } from './gl-sheet.ts';
import { baseMapLayer } from './layers/base-map.ts';
import { exclusionsLayer } from './layers/exclusions.ts';
import { fieldsLayer } from './layers/fields.ts';
import { flaggedLayer } from './layers/flagged.ts';
import { labelsLayer } from './layers/labels.ts';
import { markersLayer } from './layers/markers.ts';
import { neighborsLayer } from './layers/neighbors.ts';
import { outlinesLayer } from './layers/outlines.ts';
import { passesLayer } from './layers/passes.ts';
import { placesLayer } from './layers/places.ts';
import { selectionLayer } from './layers/selection.ts';
import { surfacesLayer } from './layers/surfaces.ts';
import { traceLayer } from './layers/trace.ts';
import { walkedLayer } from './layers/walked.ts';
import { zonesLayer } from './layers/zones.ts';

export const layers: readonly MapLayer[] = [
  baseMapLayer,
  fieldsLayer, // first of those of the fields: the others draw on its source
  surfacesLayer,
  traceLayer,
  exclusionsLayer,
  outlinesLayer,
  passesLayer,
  flaggedLayer,
  walkedLayer,
  placesLayer,
  zonesLayer,
  neighborsLayer,
  selectionLayer,
  labelsLayer,
  markersLayer,
];
