import { exporters } from '../../../shared/export/exporters.ts';
import { machineFiles, plannedZones, readBackInWords, zipped } from '../../../shared/hand-over/machine-files.ts';
import type { Command } from '../command.ts';
import { openOrTell } from '../opened.ts';
import { paragraph, printJson, printProblems } from '../print.ts';
import { runStudy } from './study.ts';

export const zonesCommand: Command = {
  name: 'zones',
  words: 'FARM',
  summary: 'write the zones as files that a machine can follow',
  more: 'Zones that a person accepted or drew come as they are; else those that the study proposes. Rates appear where the plan holds them (seedfall order --keep).',
  examples: ['zones my-farm --out zones.geojson', 'zones my-farm --field west --format shapefile --out west.zip'],
  options: [
    { name: 'format', value: exporters.map((one) => one.id).join('|'), help: 'file format; else by the file’s ending' },
    { name: 'out', value: 'PATH', help: 'file to write; a shapefile’s parts take its name; .zip: all with a read-me' },
    { name: 'field', value: 'ID', many: true, help: 'only these fields' },
    { name: 'pass', value: 'ID', help: 'the pass whose rates are written; else the first with rates' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const out = options['out']?.[0];
    const format = options['format']?.[0] ?? (/\.(shp|zip)$/i.test(out ?? '') ? 'shapefile' : 'geojson');
    const exporter = exporters.find((one) => one.id === format);
    if (!exporter || out === undefined) {
      host.err(
        exporter
          ? 'Say where to write: --out PATH.\n'
          : `There is no format "${format}"; there are ${exporters.map((one) => one.id).join(', ')}.\n`,
      );
      return 2;
    }
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const { farm } = store;
    const asked = options['field'];
    const unknown = asked?.find((id) => !farm.fields.some((one) => one.id === id));
    if (unknown !== undefined) {
      host.err(
        `The farm has no field with the id "${unknown}"; its ids are ${farm.fields.map((one) => one.id).join(', ')}.\n`,
      );
      return 2;
    }
    const { study } = runStudy(host, store);
    const season = (study.farm.season ?? 0) + 1;
    const fields = study.fields
      .filter((field) => (asked === undefined || asked.includes(field.id)) && field.zones.length > 0)
      .flatMap((found) => {
        const field = farm.fields.find((one) => one.id === found.id)!;
        return plannedZones(farm, field, found.zones, season, options['pass']?.[0]);
      });
    if (fields.length === 0) {
      host.err('There are no zones: where nobody counted or drew, the base program goes over the whole field.\n');
      return 2;
    }
    const name = host.baseName(out).replace(/\.(geojson|json|shp|zip)$/i, '');
    const title = `Zones of ${farm.name}, ${season}`;
    const made = machineFiles(farm, fields, { name, format, title });
    if (!made.ok) {
      printProblems(host, made.problems);
      return 2;
    }
    const folder = out.slice(0, out.length - host.baseName(out).length);
    const asZip = /\.zip$/i.test(out);
    const written = asZip ? [{ name: host.baseName(out), bytes: zipped(made.value) }] : made.value.files;
    for (const file of written) host.write(`${folder}${file.name}`, file.bytes);
    const names = written.map((file) => `${folder}${file.name}`);
    const { features, areaM2 } = made.value.readBack;
    if (json) printJson(host, { zones: features, areaM2, files: names, notes: made.value.notes });
    else {
      host.out(`Wrote ${features} zones to ${names.join(', ')}.\n${readBackInWords(farm, made.value.readBack)}\n`);
      host.out(
        paragraph(
          'Outside the zones the machine applies nothing unless the work order says otherwise; the base program still goes over every field with the weed.',
        ),
      );
      printProblems(host, made.value.notes);
    }
    return 0;
  },
};
