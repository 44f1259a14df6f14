import { cautionsFor } from '../../../shared/agronomy/cautions.ts';
import { FigureBook } from '../../../shared/analysis/formula.ts';
import { type HarvestChoices, harvestChoices } from '../../../shared/analysis/harvest-choices.ts';
import { type HarvestPlan, harvestPlan, type MachinePlan } from '../../../shared/analysis/harvest-plan.ts';
import {
  besideAsCut,
  besideUnlooked,
  CHOICE_SOURCES,
  choiceName,
  CLASS_RULE,
  classInWords,
  cleanOutWanted,
  cropName,
  harvestRows,
  howOrdered,
  NOT_MEASURED_TOLD,
  ORDER_RULE,
  patchInWords,
  planFinding,
  seedsInWords,
  shareInWords,
  stopsInWords,
  unlookedInWords,
} from '../../../shared/analysis/harvest-told.ts';
import { csvText } from '../../../shared/export/csv.ts';
import { harvestTable } from '../../../shared/hand-over/harvest-table.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { studySeason } from '../../../shared/model/lookups.ts';
import { formatDistance } from '../../../shared/units/format.ts';
import type { Command } from '../command.ts';
import { openOrTell, resultsOf } from '../opened.ts';
import type { Host } from '../host.ts';
import { paragraph, printJson } from '../print.ts';

export const harvestCommand: Command = {
  name: 'harvest',
  words: 'FARM',
  summary: 'in which order to harvest, and where to clean the combine out',
  more: `Fields that are still to be cut, machine by machine; once all are cut, the season again. ${ORDER_RULE} Where the prices of the crops to come are known, the order within a class, or over all classes, is the one that costs least, and each clean-out says what it saves. Typed by set: arrival, machine-hour, clean-out.limited, clean-out.thorough, road-speed, road.FROM,TO, ripe.FIELD (or a crop), cut.FIELD, cleaned.FIELD.`,
  examples: ['harvest my-farm', 'harvest my-farm --field west --json', 'harvest my-farm --out order.csv'],
  options: [
    { name: 'by', value: 'WHAT', help: 'class: cleanest first, worst last (if not given); cost: whatever costs least' },
    { name: 'season', value: 'YEAR', help: 'else the last one with records' },
    {
      name: 'field',
      value: 'ID',
      help: 'beside the order: header, impact mill, chaff lines and patches of this field',
    },
    { name: 'out', value: 'PATH', help: 'file to write: .csv, a row a field' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const { farm } = store;
    const given = (name: string) => options[name]?.[0];
    const season = given('season') === undefined ? studySeason(farm) : Number(given('season'));
    const [field, out] = [given('field'), given('out')];
    const by = byOf(given('by') ?? 'class');
    const wrong = by === null ? '--by is class or cost.' : wrongIn(farm, season, field, out);
    if (wrong !== null || season === null) {
      host.err(`${wrong}\n`);
      return 2;
    }
    const { result, keep } = resultsOf(host, store);
    const plan = harvestPlan(farm, { season, by: by ?? 'class' }, result, new FigureBook());
    const choices = field === undefined ? null : harvestChoices(farm, field, season, result);
    keep();
    if (out !== undefined)
      host.write(out, new TextEncoder().encode(csvText(harvestTable(harvestRows(plan), farm.currency))));
    if (json) printJson(host, { ...plan, choices });
    else print(host, farm, plan, choices, field);
    return plan.machines.some((one) => one.fields.length > 0) ? 0 : 1;
  },
};

function byOf(text: string): 'class' | 'cost' | null {
  return text === 'class' || text === 'cost' ? text : null;
}

function wrongIn(farm: Farm, season: number | null, field?: string, out?: string): string | null {
  if (season === null) return 'No season is on record yet: add crops, a round or a harvest log.';
  if (!Number.isInteger(season) || !farm.seasons.some((one) => one.year === season))
    return `The farm has no season ${season}; it has ${farm.seasons.map((one) => one.year).join(', ') || 'none'}.`;
  if (field !== undefined && !farm.fields.some((one) => one.id === field && one.ours))
    return `The farm has no field with the id "${field}"; its ids are ${farm.fields.map((one) => one.id).join(', ')}.`;
  return out === undefined || /\.csv$/i.test(out) ? null : 'The file to write ends in .csv.';
}

function print(
  host: Host,
  farm: Farm,
  plan: HarvestPlan,
  choices: HarvestChoices | null,
  field: string | undefined,
): void {
  const say = (text: string, indent = '') => host.out(paragraph(text, indent));
  for (const machine of plan.machines) printMachine(host, farm, plan, machine);
  say(CLASS_RULE);
  say(NOT_MEASURED_TOLD);
  if (plan.costPerHour === null)
    say('Say what an hour of harvest costs (seedfall set FARM machine-hour=…), and minutes are told before money.');
  else if (plan.roadSpeedMS === null)
    say('Ways are not counted: say the speed on the road (seedfall set FARM road-speed=…).');
  if (choices) printChoices(host, farm, choices);
  else if (field !== undefined) say('Of that field no seed is known that a machine could take in.');
  for (const one of cautionsFor(['clean-out'])) say(one.text);
}

function printMachine(host: Host, farm: Farm, plan: HarvestPlan, machine: MachinePlan): void {
  const say = (text: string, indent = '') => host.out(paragraph(text, indent));
  const { display } = farm;
  say(`${machine.name}: ${planFinding(machine)}.`);
  const how = howOrdered(machine, display);
  if (how !== '') say(how, '  ');
  const unlooked = unlookedInWords(machine);
  if (unlooked) say(unlooked, '  ');
  if (machine.arrivesDirty)
    say(
      `It comes from elsewhere with seed aboard (${seedsInWords(machine.aboard, display)}): clean it out before its first field.`,
      '  ',
    );
  else if (machine.cut.length > 0 && machine.looks === 'ahead')
    say(`Aboard now: ${seedsInWords(machine.aboard, display)}.`, '  ');
  machine.fields.forEach((one, step) => {
    const ripe = one.ripeFrom === null ? '' : `, ripe from ${one.ripeFrom}`;
    const way = one.way === null || one.way.distanceM === 0 ? '' : `, ${formatDistance(one.way.distanceM, display)} on`;
    say(
      `${String(step + 1).padStart(4)}  ${one.name} (${cropName(one.crop)}${ripe}${way}): ${classInWords(one)}.`,
      '      ',
    );
    if (cleanOutWanted(machine, one, step)) {
      const by = one.cleanOutSaid ? ' (as you said)' : '';
      say(`      Clean out before it${one.cleanOut === null ? '' : `: ${one.cleanOut}`}${by}.`, '      ');
    }
    if ((one.ridesIn.high ?? 0) >= 1 || one.afterUnlooked.length > 0) {
      say(`      Rides in: ${seedsInWords(one.ridesIn, display)}${besideUnlooked(one)}.`, '      ');
      const worth = stopsInWords(one.stops, { display, reportedMin: plan.reportedMin });
      if (worth !== '') say(`      ${worth}`, '      ');
    }
  });
  const beside = besideAsCut(machine, display);
  if (beside) say(beside, '  ');
  for (const one of machine.leftOut) say(`${one.name} is left out: no way of the combine through it is known.`, '  ');
}

function printChoices(host: Host, farm: Farm, choices: HarvestChoices): void {
  const say = (text: string, indent = '') => host.out(paragraph(text, indent));
  const name = farm.fields.find((one) => one.id === choices.field)!.name;
  say(`${name}: of the seed on the plants at harvest`);
  for (const one of choices.residue) {
    const lines = one.lineGroundFraction === null ? '' : `, ${shareInWords(one.inLines)} of it in lines`;
    say(
      `  ${choiceName(one.id)}${one.isNow ? ' (as now)' : ''}: ${shareInWords(one.onGround)} back on the field${lines}, ${shareInWords(one.destroyed)} destroyed.`,
      '    ',
    );
  }
  for (const one of CHOICE_SOURCES) say(one, '  ');
  const patches = patchInWords(name, choices, farm.display);
  if (!patches) return;
  say(patches);
  for (const one of cautionsFor(['destroying crop'])) say(one.text, '  ');
}
