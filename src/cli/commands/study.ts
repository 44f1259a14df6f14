import type { RunnerProgress } from '../../../shared/analysis/runner.ts';
import { prepareFields, shareFields } from '../../../shared/analysis/spread.ts';
import { startRunner, type Study, studyFarm, type StudyRun } from '../../../shared/analysis/study.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { formatQuantity, formatRange } from '../../../shared/units/format.ts';
import type { Command } from '../command.ts';
import { drive, percent } from '../drive.ts';
import { type FarmStore, openFarm } from '../farm-store.ts';
import type { Host } from '../host.ts';
import { paragraph, printJson, printProblems, table } from '../print.ts';

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
    const opened = openFarm(host, words[0]!);
    if (!opened.ok) {
      printProblems(host, opened.problems);
      return 2;
    }
    const { study } = runStudy(host, opened.value);
    const out = options['out']?.[0];
    if (out !== undefined) writeResults(host, out, study);
    if (json) printJson(host, study);
    else {
      printStudy(host, study, opened.value.farm);
      const quiet = options['notes'] === undefined;
      const notes = study.problems.filter((one) => one.level === 'note').length;
      printProblems(host, quiet ? study.problems.filter((one) => one.level !== 'note') : study.problems);
      if (quiet && notes > 0) host.err(`  and ${notes} note${notes === 1 ? '' : 's'}: see them with --notes.\n`);
      if (out !== undefined) host.out(`Wrote study.json and zones.geojson to ${out}.\n`);
    }
    return study.problems.some((one) => one.level === 'error') ? 1 : 0;
  },
};

const EVIDENCE =
  '  Evidence: b a rating or drawn patches, c counts, d counts and a harvest log, e those with weather, sprayings and an earlier year. Ranges are low to high.';

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

function printStudy(host: Host, study: Study, farm: Farm): void {
  const { display } = farm;
  const invented = study.farm.invented && !/invented/i.test(study.farm.name) ? ' (invented)' : '';
  host.out(
    `${study.farm.name}${invented}, ${formatQuantity(study.farm.areaM2, 'area', display)}, season ${study.farm.season ?? 'not known'}\n\n`,
  );
  host.out(paragraph(study.summary) + '\n');

  const ranked = study.fields.filter((one) => one.rank !== null);
  if (ranked.length > 0) {
    host.out('Fields by the seed over years, first to treat on top\n');
    host.out(
      table(
        [
          { title: '#', right: true },
          { title: 'field' },
          { title: 'evidence' },
          { title: 'area', right: true },
          { title: 'weed above threshold' },
          { title: 'doing nothing new costs' },
          { title: 'program within the budget' },
        ],
        ranked.map((one) => [
          String(one.rank),
          one.name,
          one.evidence,
          formatQuantity(one.areaM2, 'area', display),
          one.infestedAreaM2.central === null ? 'not known' : formatRange(one.infestedAreaM2, 'area', display),
          one.stakePerHa.central === null ? 'not known' : formatRange(one.stakePerHa, 'money per area', display),
          farm.programs.find((program) => program.id === one.chosenProgram)?.name ?? 'none',
        ]),
      ),
    );
    host.out(paragraph(EVIDENCE, '  '));
    host.out('\n');
    for (const one of ranked) host.out(paragraph(`${one.rank}. ${one.name}: ${one.why}`, '   '));
    host.out('\n');
  }
  const unlooked = study.fields.filter((one) => one.rank === null);
  if (unlooked.length > 0) {
    host.out('Fields nobody looked at, where to look first on top\n');
    for (const one of unlooked)
      host.out(paragraph(`   ${one.name} (${formatQuantity(one.areaM2, 'area', display)}): ${one.why}`, '   '));
    host.out('\n');
  }
  if (ranked.length === 0) printPrograms(host, study, farm);
  if (ranked.length > 0) printRankings(host, study, ranked, farm);
  const { ran, reused } = Object.values(study.steps).reduce(
    (sum, one) => ({ ran: sum.ran + one.ran, reused: sum.reused + one.reused }),
    { ran: 0, reused: 0 },
  );
  host.out(`Steps computed: ${ran}, reused: ${reused}.\n`);
  host.out(
    paragraph(
      'Estimates are for planning: biology varies several-fold by place and year. The product label is the law; rates are yours to type from it.',
    ),
  );
}

/** Where nobody looked, programs are compared by what their passes kill, in a word. */
function printPrograms(host: Host, study: Study, farm: Farm): void {
  const others = (study.fields[0]?.programs ?? []).filter((one) => one.id !== 'as-now');
  if (others.length === 0) return;
  const assumed = farm.programs.some((one) => one.assumed) ? ', by assumed ratings' : '';
  host.out(`Programs beside current practice, by what their passes kill${assumed}; cost does not enter\n`);
  for (const one of others) {
    host.out(`   ${farm.programs.find((program) => program.id === one.id)!.name}: ${one.compared}\n`);
  }
  host.out('\n');
}

function printRankings(host: Host, study: Study, ranked: Study['fields'], farm: Farm): void {
  host.out('The two rankings side by side\n');
  const byLoss = [...ranked].sort((a, b) => a.rankByThisYear! - b.rankByThisYear!);
  host.out(
    table(
      [
        { title: '#', right: true },
        { title: 'by the seed over years' },
        { title: 'by this year’s yield loss alone' },
        { title: 'lost this year' },
      ],
      ranked.map((one, index) => [
        String(index + 1),
        one.name,
        byLoss[index]!.name,
        byLoss[index]!.yieldLossMoney.central === null
          ? 'not known'
          : formatRange(byLoss[index]!.yieldLossMoney, 'money', farm.display),
      ]),
    ),
  );
  if (study.disagreements.length > 0) {
    const worst = [...study.disagreements].sort(
      (a, b) => Math.abs(b.rank - b.rankByThisYear) - Math.abs(a.rank - a.rankByThisYear),
    );
    const told = worst.slice(0, 5).map((one) => {
      const name = study.fields.find((field) => field.id === one.id)!.name;
      return `${name} (${one.rank} by seed, ${one.rankByThisYear} by this year's loss)`;
    });
    host.out(
      paragraph(
        `They disagree by three places or more on ${study.disagreements.length} fields, most on ${told.join('; ')}.`,
      ),
    );
  } else host.out('The two agree within two places on every field.\n');
  const { available, spentPerYear, gain, gainBound, exact } = study.budget;
  if (gain !== null && spentPerYear !== null) {
    const limit =
      available === null
        ? 'without a budget'
        : `within ${formatQuantity(available, 'money', farm.display)} a year beyond current practice`;
    const proof = exact
      ? 'no set gains more'
      : `no set can gain more than ${formatQuantity(gainBound!, 'money', farm.display)}`;
    host.out(
      paragraph(
        `The best set ${limit} costs ${formatQuantity(spentPerYear, 'money', farm.display)} a year and gains ${formatQuantity(gain, 'money', farm.display)} over ${study.budget.horizonYears} years; ${proof}.`,
      ),
    );
  }
  host.out('\n');
}

function writeResults(host: Host, out: string, study: Study): void {
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
