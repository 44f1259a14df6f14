import { exporters } from '../../../shared/export/exporters.ts';
import type { ZoneFeature } from '../../../shared/export/exporter.ts';
import { isUnit, type UnitId } from '../../../shared/units/units.ts';
import type { Command } from '../command.ts';
import { openFarm } from '../farm-store.ts';
import { paragraph, printJson, printProblems } from '../print.ts';
import { runStudy } from './study.ts';

export const zonesCommand: Command = {
  name: 'zones',
  words: 'FARM',
  summary: 'write the zones as files that a machine can follow',
  more: 'Zones that a person accepted or drew come as they are; else those that the study proposes. Rates appear where the plan holds them (seedfall order --keep).',
  examples: ['zones my-farm --out zones.geojson', 'zones my-farm --field west --format shapefile --out west.shp'],
  options: [
    { name: 'format', value: exporters.map((one) => one.id).join('|'), help: 'file format; else by the file’s ending' },
    { name: 'out', value: 'PATH', help: 'file to write; a shapefile’s parts take its name' },
    { name: 'field', value: 'ID', many: true, help: 'only these fields' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const out = options['out']?.[0];
    const format = options['format']?.[0] ?? (/\.shp$/i.test(out ?? '') ? 'shapefile' : 'geojson');
    const exporter = exporters.find((one) => one.id === format);
    if (!exporter || out === undefined) {
      host.err(
        exporter
          ? 'Say where to write: --out PATH.\n'
          : `There is no format "${format}"; there are ${exporters.map((one) => one.id).join(', ')}.\n`,
      );
      return 2;
    }
    const opened = openFarm(host, words[0]!);
    if (!opened.ok) {
      printProblems(host, opened.problems);
      return 2;
    }
    const { farm } = opened.value;
    const asked = options['field'];
    const unknown = asked?.find((id) => !farm.fields.some((one) => one.id === id));
    if (unknown !== undefined) {
      host.err(
        `The farm has no field with the id "${unknown}"; its ids are ${farm.fields.map((one) => one.id).join(', ')}.\n`,
      );
      return 2;
    }
    const { study } = runStudy(host, opened.value);
    const units: Record<string, UnitId> = {};
    const features = study.fields
      .filter((field) => asked === undefined || asked.includes(field.id))
      .flatMap((field) =>
        field.zones.map((zone): ZoneFeature => {
          const choice = farm.plan.find((one) =>
            'zone' in one.target ? one.target.zone === zone.id : one.target.field === field.id,
          );
          const rate = choice?.rates[0];
          if (rate && isUnit(rate.unit)) units['rate'] = rate.unit;
          return {
            polygon: zone.area,
            properties: {
              zone: zone.id,
              field: field.name,
              areaM2: Math.round(zone.areaM2 * 10) / 10,
              rank: zone.rank,
              why: zone.why,
              ...(rate
                ? {
                    product: farm.products.find((one) => one.id === rate.product)?.name ?? rate.product,
                    rate: rate.perArea,
                  }
                : {}),
            },
          };
        }),
      );
    if (features.length === 0) {
      host.err('There are no zones: where nobody counted or drew, the base program goes over the whole field.\n');
      return 2;
    }
    const name = host.baseName(out).replace(/\.(geojson|json|shp|zip)$/i, '');
    const folder = out.slice(0, out.length - host.baseName(out).length);
    const written = exporter.write(features, { name, units });
    for (const file of written.files) host.write(`${folder}${file.name}`, file.bytes);
    const names = written.files.map((file) => `${folder}${file.name}`);
    if (json)
      printJson(host, {
        zones: features.length,
        areaM2: features.reduce((sum, one) => sum + Number(one.properties['areaM2']), 0),
        files: names,
        notes: written.notes,
      });
    else {
      host.out(`Wrote ${features.length} zones to ${names.join(', ')}.\n`);
      host.out(
        paragraph(
          'Outside the zones the machine applies nothing unless the work order says otherwise; the base program still goes over every field with the weed.',
        ),
      );
      printProblems(host, written.notes);
    }
    return 0;
  },
};
