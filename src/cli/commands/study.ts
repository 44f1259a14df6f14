import { type PrintedStudy, withCurve } from '../../../shared/analysis/printed-study.ts';
import type { RunnerProgress } from '../../../shared/analysis/runner.ts';
import { prepareFields, shareFields } from '../../../shared/analysis/spread.ts';
import { startRunner, studyFarm, type StudyRun } from '../../../shared/analysis/study.ts';
import type { Command } from '../command.ts';
import { drive, percent } from '../drive.ts';
import { type FarmStore } from '../farm-store.ts';
import { openOrTell } from '../opened.ts';
import type { Host } from '../host.ts';
import { printJson, printProblems } from '../print.ts';
import { printStudy } from '../print-study.ts';

export const studyCommand: Command = {
  name: 'study',
  words: 'FARM',
  summary: 'run every step; print the ranked fields with the reason, and the two rankings',
  more: 'Recomputes only what is stale: results are kept beside the farm, keyed by their inputs. Mild, central and harsh biology give low, most likely and high.',
  options: [
    { name: 'out', value: 'DIR', help: 'write study.json and zones.geojson to a folder' },
    { name: 'notes', help: 'print notes too, not warnings and errors alone' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const study = withCurve(runStudy(host, store).study, store.farm);
    const out = options['out']?.[0];
    if (out !== undefined) writeResults(host, out, study);
    if (json) printJson(host, study);
    else {
      printStudy(host, study, store.farm);
      const quiet = options['notes'] === undefined;
      const notes = study.problems.filter((one) => one.level === 'note').length;
      printProblems(host, quiet ? study.problems.filter((one) => one.level !== 'note') : study.problems);
      if (quiet && notes > 0) host.err(`  and ${notes} note${notes === 1 ? '' : 's'}: see them with --notes.\n`);
      if (out !== undefined) host.out(`Wrote study.json and zones.geojson to ${out}.\n`);
    }
    return study.problems.some((one) => one.level === 'error') ? 1 : 0;
  },
};

/** Studies an opened farm with progress, and drops the stored results that it no longer uses. */
export function runStudy(host: Host, store: FarmStore): StudyRun {
  const { farm } = store;
  const runner = startRunner(farm, store.door, store.results);
  const say = ({ title, scope, done, total }: RunnerProgress) =>
    [title, scope.field ?? scope.file ?? '', percent(done, total)].filter(Boolean).join(' ');
  if (store.isFresh && host.besides) {
    const [mine, others] = shareFields(farm, 2) as [string[], string[]];
    const besides = others.length > 0 ? host.besides(store.path, others) : null;
    drive(host, prepareFields(runner, mine), say);
    const computed = besides?.join() ?? {};
    store.shared?.look();
    const run = drive(host, studyFarm(runner), say);
    runner.addComputedElsewhere(computed);
    store.keepOnly(run.usedKeys);
    return { ...run, study: { ...run.study, steps: Object.fromEntries(runner.counts) } };
  }
  const run = drive(host, studyFarm(runner), say);
  store.keepOnly(run.usedKeys);
  return run;
}

function writeResults(host: Host, out: string, study: PrintedStudy): void {
  const text = (value: unknown) => new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`);
  host.write(host.join(out, 'study.json'), text(study));
  const features = study.fields.flatMap((field) =>
    field.zones.map((zone) => ({
      type: 'Feature',
      properties: { id: zone.id, field: field.name, areaM2: zone.areaM2, rank: zone.rank, why: zone.why },
      geometry: { type: 'MultiPolygon', coordinates: zone.area },
    })),
  );
  host.write(host.join(out, 'zones.geojson'), text({ type: 'FeatureCollection', features }));
}
