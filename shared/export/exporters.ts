/** Every export format; the only place that lists them. */
import type { Exporter } from './exporter.ts';
import { geojsonExporter } from './geojson.ts';
import { shapefileExporter } from './shapefile.ts';

export const exporters: readonly Exporter[] = [geojsonExporter, shapefileExporter];
