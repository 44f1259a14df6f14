import { checkFile, type CheckWishes, type FileCheck } from '../../../shared/analysis/check-file.ts';
import { formatDistance, formatQuantity } from '../../../shared/units/format.ts';
import type { Command } from '../command.ts';
import { drive, percent } from '../drive.ts';
import { bundlesAt } from '../incoming.ts';
import { paragraph, printJson, printProblems } from '../print.ts';
import { READING_OPTIONS, readingWishes } from '../reading-options.ts';

export const checkCommand: Command = {
  name: 'check',
  words: 'FILE…',
  summary: 'say what each file was taken for and why, its facts and its problems',
  more: 'Reads boundaries (GeoJSON, shapefile), scouting counts, ratings, harvest logs, daily weather, crop plans and spray records (CSV). Changes nothing.',
  examples: [
    'check boundaries.geojson harvest.csv',
    'check field.shp field.dbf field.prj',
    'check log.csv --column flow=Rate --unit flow=lb/s --crop corn',
  ],
  options: [
    ...READING_OPTIONS,
    { name: 'crop', value: 'CROP', help: 'the crop of a harvest log, for yield at standard moisture' },
    { name: 'header-width', value: 'M', help: 'header width of a log that says none, m' },
  ],
  takes: [1, Infinity],
  run({ words, options, host, json }) {
    const reading = readingWishes(options);
    if ('wrong' in reading) {
      host.err(`${reading.wrong}\n`);
      return 2;
    }
    const width = options['header-width']?.[0];
    const wishes: CheckWishes = {
      ...reading,
      ...(options['crop'] === undefined ? {} : { crop: options['crop'][0]! }),
      ...(width === undefined ? {} : { headerWidthM: Number(width) }),
    };
    if (width !== undefined && !(Number(width) > 0)) {
      host.err('--header-width needs a number of meters above 0.\n');
      return 2;
    }
    const { bundles, missing } = bundlesAt(host, words);
    const checks: FileCheck[] = [
      ...missing.map((one) => ({ file: one.where!.file!, takenFor: null, why: one.text, problems: [one] })),
      ...bundles.map((bundle) =>
        drive(host, checkFile(bundle, wishes), ([done, total]) => `${bundle.name} ${percent(done, total)}`),
      ),
    ];
    if (json) printJson(host, checks);
    else for (const check of checks) print(check, host);
    const failed = checks.filter((check) => check.takenFor === null).length;
    if (failed === checks.length) return 2;
    return failed > 0 || checks.some((check) => check.problems.some((one) => one.level === 'error')) ? 1 : 0;
  },
};

function print(check: FileCheck, host: Parameters<Command['run']>[0]['host']): void {
  host.out(`${check.file}\n`);
  host.out(paragraph(`  ${check.takenFor === null ? 'not read' : `taken for ${check.takenFor}`}: ${check.why}`, '  '));
  for (const [what, text] of facts(check)) host.out(`  ${what.padEnd(14)} ${text}\n`);
  printProblems(host, check.problems);
  host.out('\n');
}

function facts(check: FileCheck): [string, string][] {
  const fact = <T>(name: string) => check[name] as T;
  const lines: [string, string][] = [];
  const add = (what: string, text: string) => lines.push([what, text]);
  switch (check.takenFor) {
    case 'boundaries':
    case 'drawn patches':
      add('features', `${fact<string>('features')}: ${fact<string[]>('names').join(', ')}`);
      add(
        'area',
        `${formatQuantity(fact<number>('areaM2'), 'area', 'us')} (${formatQuantity(fact<number>('areaM2'), 'area', 'metric')})`,
      );
      add('coordinates', String(fact<string>('crs') ?? 'WGS 84'));
      break;
    case 'harvest log': {
      const flagged = Object.entries(fact<Record<string, number>>('flagged')).filter(([, count]) => count > 0);
      add(
        'records',
        `${fact<string>('records')}, from ${fact<string>('firstTime')} to ${fact<string>('lastTime')}${fact<boolean>('hasClock') ? '' : ' (made: the log has no clock)'}`,
      );
      add('flagged', flagged.map(([name, count]) => `${name} ${count}`).join(', ') || 'none');
      add('flow delay', `${fact<number>('flowDelayS').toFixed(1)} s: ${fact<string>('flowDelayWhy')}`);
      add(
        'newly cut',
        `${formatQuantity(fact<number>('coveredAreaM2'), 'area', 'us')} (${formatQuantity(fact<number>('coveredAreaM2'), 'area', 'metric')})`,
      );
      if (fact<number>('standardMassKg') !== null) {
        add(
          'dry grain',
          `${formatQuantity(fact<number>('standardMassKg'), 'mass', 'us')}, ${Math.round(fact<number>('meanYieldKgHa'))} kg/ha of ${fact<string>('crop')}`,
        );
      }
      break;
    }
    case 'scouting':
      add(
        'observations',
        `${fact<string>('observations')}, from ${fact<string>('firstDay')} to ${fact<string>('lastDay')}`,
      );
      for (const [species, of] of Object.entries(
        fact<Record<string, { observations: number; withWeed: number; effortM2: number }>>('bySpecies'),
      )) {
        add('', `${species}: ${of.observations} on ${of.effortM2.toFixed(1)} m², found at ${of.withWeed}`);
      }
      break;
    case 'track': {
      const lengthM = fact<number>('lengthM');
      add('walked', `${formatDistance(lengthM, 'us')} (${formatDistance(lengthM, 'metric')})`);
      add('waypoints', `${fact<number>('waypoints')}, ${fact<number>('stops')} of them stops that went out`);
      break;
    }
    case 'weather':
      add('days', `${fact<string>('days')}, from ${fact<string>('firstDay')} to ${fact<string>('lastDay')}`);
      break;
    default:
      if (check.takenFor !== null) add('rows', `${check.rows} (${check.unusedRows} not usable)`);
  }
  for (const [quantity, one] of Object.entries(check.columns ?? {})) {
    add(quantity, `column "${one.column}"${one.unit === undefined ? '' : ` in ${one.unit}`}: ${one.because}`);
  }
  return lines;
}
