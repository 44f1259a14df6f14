/**
 * Zones as GeoJSON: RFC 7946, WGS 84, right-hand rule, 9 decimals of a degree (0.1 mm: 7 would move a 1 ha zone by about 1e-5
 * of its area). A quantity's unit is part of its name: rate_gal_ac.
 * @source RFC 7946 3.1.6, 4; methods-spatial §15.
 */
import { problem, type Problem } from '../model/problem.ts';
import { UNITS } from '../units/units.ts';
import { checkZones, columnsOf, ringTurn, unitSuffix, type Exporter } from './exporter.ts';

const DECIMALS = 9;

export const geojsonExporter: Exporter = {
  id: 'geojson',
  title: 'GeoJSON',
  extension: '.geojson',

  write(zones, wishes) {
    checkZones(zones, wishes);
    const notes: Problem[] = [];
    const columns = columnsOf(zones);
    const nameOf = new Map(
      columns.map((column) => {
        const unit = wishes.units?.[column];
        return [column, unit === undefined ? column : `${column}_${unitSuffix(unit)}`];
      }),
    );
    if (new Set(nameOf.values()).size < columns.length) {
      throw new Error(`export: two properties would both be called ${[...nameOf.values()].join(', ')}`);
    }
    for (const [column, unit] of Object.entries(wishes.units ?? {})) {
      const text = `“${nameOf.get(column)!}” is in ${UNITS[unit].symbol || unit}.`;
      notes.push(problem('note', 'unit', text, { where: { column } }));
    }
    const features = zones.map(({ polygon, properties }) => {
      const coordinates = polygon.map((rings) =>
        rings.map((ring, r) => {
          const rounded = ring.map(([lon, lat]) => [round(lon), round(lat)]);
          return ringTurn(ring) > 0 === (r === 0) ? rounded : rounded.reverse();
        }),
      );
      const named = Object.entries(properties).map(([column, value]) => [nameOf.get(column)!, value]);
      return JSON.stringify({
        type: 'Feature',
        properties: Object.fromEntries(named),
        geometry:
          coordinates.length === 1
            ? { type: 'Polygon', coordinates: coordinates[0] }
            : { type: 'MultiPolygon', coordinates },
      });
    });
    const text = `{"type":"FeatureCollection","features":[${features.length > 0 ? `\n${features.join(',\n')}\n` : ''}]}\n`;
    return { files: [{ name: `${wishes.name}.geojson`, bytes: new TextEncoder().encode(text) }], notes };
  },
};

function round(degrees: number): number {
  return Number(degrees.toFixed(DECIMALS));
}
