/** The study on a terminal: ranked fields with the reason, where to look, the two rankings, what budgets buy. */
import { CURVE_STEPS, type CurvePoint, type PrintedStudy } from '../../shared/analysis/printed-study.ts';
import type { Study } from '../../shared/analysis/study.ts';
import type { Farm } from '../../shared/model/farm.ts';
import { formatQuantity, formatRange } from '../../shared/units/format.ts';
import type { Host } from './host.ts';
import { paragraph, table } from './print.ts';

const EVIDENCE =
  '  Evidence: b a rating or drawn patches, c counts, d counts and a harvest log, e those with weather, sprayings and an earlier year. Ranges are low to high.';

export function printStudy(host: Host, study: PrintedStudy, farm: Farm): void {
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
  printOwnLoss(host, study, farm);
  if (study.budget.curve.length > 0) printCurve(host, study, farm);
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

/** What weeds took where they stood, by each field's own log and counts. */
function printOwnLoss(host: Host, { fields }: Study, farm: Farm): void {
  const told = fields.flatMap(({ id, name, harvest, ownLoss }) => {
    if (!ownLoss || !harvest || harvest.assumedPath) return [];
    if (ownLoss.kind === 'missing') return [`${name}: not known, since ${ownLoss.why}.`];
    const { low, central, high } = ownLoss.lossFraction;
    const own =
      low === null || high === null
        ? `${formatQuantity(central, 'fraction', farm.display)}, without an upper end`
        : formatRange({ low, central, high }, 'fraction', farm.display);
    const literature = formatRange(ownLoss.literature.lossFraction, 'fraction', farm.display);
    const use = ownLoss.used ? 'used for this season' : 'shown, not used';
    return [
      `${name}: ${own}; the literature says ${literature}. ${ownLoss.saying} ${use[0]!.toUpperCase()}${use.slice(1)}: fields/${id}/ownLoss/lossFraction.`,
    ];
  });
  if (told.length === 0) return;
  host.out('Loss where weeds stood, by each field’s own log and counts; other causes are in it too\n');
  for (const one of told) host.out(paragraph(one, '   '));
  host.out('\n');
}

/** A fifth of the way each, and the farm's own budget. */
function printCurve(host: Host, { budget }: PrintedStudy, farm: Farm): void {
  const money = (value: number) => formatQuantity(value, 'money', farm.display, 0);
  const changed = (one: CurvePoint) => Object.values(one.programs).filter((program) => program !== 'as-now').length;
  const widest = budget.curve.at(-1)!.budget;
  const isFifth = (one: CurvePoint) =>
    Math.round((CURVE_STEPS * one.budget) / widest) % (CURVE_STEPS / 5) === 0 && one.budget > 0;
  const shown = budget.curve.filter((one) => one.budget === budget.available || isFifth(one));
  host.out(`What other yearly budgets would buy over ${budget.horizonYears} years\n`);
  host.out(
    table(
      [
        { title: 'a year', right: true },
        { title: 'spent', right: true },
        { title: 'fields', right: true },
        { title: 'gain' },
      ],
      shown.map((one) => [
        `${one.budget === budget.available ? 'now set ' : ''}${money(one.budget)}`,
        one.spentPerYear === null ? '' : money(one.spentPerYear),
        one.spentPerYear === null ? '' : String(changed(one)),
        one.spentPerYear === null
          ? 'the fields that must be treated cost more'
          : formatRange(one.gain, 'money', farm.display, 0),
      ]),
    ),
  );
  host.out('\n');
}
