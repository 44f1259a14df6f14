/** The layers of the map, from the paper upward; the only place that lists them. */
import type { MapLayer } from './gl-sheet.ts';
import { exclusionsLayer } from './layers/exclusions.ts';
import { fieldsLayer } from './layers/fields.ts';
import { labelsLayer } from './layers/labels.ts';
import { outlinesLayer } from './layers/outlines.ts';
import { selectionLayer } from './layers/selection.ts';

export const layers: readonly MapLayer[] = [fieldsLayer, exclusionsLayer, outlinesLayer, selectionLayer, labelsLayer];
