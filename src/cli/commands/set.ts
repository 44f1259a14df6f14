import { cropIdOf } from '../../../shared/import/crop-names.ts';
import { speciesIdOf } from '../../../shared/agronomy/species-names.ts';
import { applyEdit, type Edit } from '../../../shared/model/edit.ts';
import { setPrice as setPriceOf } from '../../../shared/model/edits/money.ts';
import { setThreshold as setThresholdOf } from '../../../shared/model/edits/weeds.ts';
import { setHarvestCost, setRoad } from '../../../shared/model/edits/harvest-costs.ts';
import { sayArrival } from '../../../shared/model/edits/machines.ts';
import {
  liftFlag,
  sayCleanOut,
  sayFlowDelay,
  sayHeading,
  sayHeadlandLaps,
  sayRipe,
  sayScaleTotal,
  tickHarvest,
} from '../../../shared/model/edits/visits.ts';
import { type Farm, farmSchema, type Field, type Machine } from '../../../shared/model/farm.ts';
import { expectedCrop, fieldByName, speciesOf, studySeason } from '../../../shared/model/lookups.ts';
import { LIFTABLE_FLAGS } from '../../../shared/model/log-flags.ts';
import { dayNumber } from '../../../shared/units/calendar.ts';
import { bushelKg, isUnit, quantityOf, toSI } from '../../../shared/units/units.ts';
import { pairOf } from '../arguments.ts';
import type { Command } from '../command.ts';
import { openOrTell } from '../opened.ts';
import { printJson, printProblems } from '../print.ts';

type Sets = Edit['sets'];
type Setting = {
  readonly name: string;
  readonly help: string;
  set(farm: Farm, value: string, part: string): Sets | null;
};

/** What has no file of its own. null: the value is not of that kind. */
const SETTINGS: readonly Setting[] = [
  { name: 'price.CROP', help: 'money a kg, or with a unit: 0.41, 11.20/bu, 410/t', set: setPrice },
  {
    name: 'budget',
    help: 'money a year beyond current practice, or none',
    set: (_, text) => (text === 'none' ? at('budget', null) : number(text, 0, (value) => at('budget', value))),
  },
  {
    name: 'horizon',
    help: 'years, 3 to 10',
    set: (_, text) =>
      number(text, 3, (value) => (Number.isInteger(value) && value <= 10 ? at('horizonYears', value) : null)),
  },
  {
    name: 'discount',
    help: 'share a year: 0.05',
    set: (_, text) => number(text, 0, (value) => (value <= 1 ? at('discountFraction', value) : null)),
  },
  { name: 'threshold.SPECIES', help: 'plants per m² from which ground counts as infested', set: setThreshold },
  {
    name: 'header-width',
    help: 'of the combine: 9.14m, 30ft',
    set: (farm, text) => machine(farm, 'combine', text, 'length', 'headerWidthM'),
  },
  {
    name: 'arrival',
    help: 'what the combine had aboard on its first field of the season: clean, unknown, infested, or none said',
    set: setCombineArrival,
  },
  {
    name: 'heading.FIELD',
    help: 'of the strips where no log tells it: degrees from north, or none said',
    set: setHeading,
  },
  { name: 'headlands.FIELD', help: 'laps around a field without a log: 0 to 4, or none said', set: setHeadlands },
  {
    name: 'scale-total.FIELD',
    help: 'of the season’s harvest as weighed: 54000, 119000lb, or none said',
    set: setScaleTotal,
  },
  {
    name: 'flow-delay.FIELD',
    help: 'seconds from the cutter bar to the sensor: 0 to 60, or none said',
    set: (farm, text, name) =>
      ofField(farm, text, name, [0, 60], (field, year, value) => sayFlowDelay(farm, year, field, value)),
  },
  {
    name: 'lift-flag.FIELD',
    help: `a flag whose records count: ${LIFTABLE_FLAGS.join(', ')}; with a minus before it they are left out again`,
    set: setLifted,
  },
  { name: 'residue', help: 'of the combine: spread, chaff-line, impact-mill', set: setResidue },
  { name: 'machine-hour', help: 'money that an hour of harvest costs, machine and crew', set: setCost('costPerHour') },
  {
    name: 'clean-out.KIND',
    help: 'minutes of a clean-out: clean-out.limited=25, clean-out.thorough=300',
    set: (farm, text, kind) => (kind === 'limited' || kind === 'thorough' ? setCost(`${kind}Min`)(farm, text) : null),
  },
  { name: 'road-speed', help: 'of the combine: 6.7m/s, 15mph', set: setRoadSpeed },
  {
    name: 'road.FROM,TO',
    help: 'a way that is longer than the straight line: road.west,east=3.2mi; yard is a place',
    set: setWay,
  },
  {
    name: 'ripe.FIELD',
    help: 'from when on it can be cut, a day or none; ripe.CROP for all fields of a crop',
    set: setRipe,
  },
  { name: 'cut.FIELD', help: 'yes or no: ticked off as harvested', set: setCut },
  { name: 'cleaned.FIELD', help: 'clean-out before it: limited, thorough or none', set: setCleaned },
  { name: 'boom-width', help: 'of the sprayer: 27.4m, 90ft', set: setBoom },
  { name: 'tank', help: 'of the sprayer: 3785L, 1000gal', set: setTank },
  {
    name: 'units',
    help: 'us or metric',
    set: (_, text) => (text === 'us' || text === 'metric' ? [{ path: ['display'], value: text }] : null),
  },
  {
    name: 'utc-offset',
    help: 'local time minus UTC, minutes',
    set: (_, text) => number(text, -900, (value) => (value <= 900 ? [{ path: ['utcOffsetMinutes'], value }] : null)),
  },
];

export const setCommand: Command = {
  name: 'set',
  words: 'FARM NAME=VALUE…',
  summary: 'say what no file brings: prices, the budget, the machines',
  more: `Settings: ${SETTINGS.map((one) => `${one.name} (${one.help})`).join('; ')}. Programs and products are typed into farm.json, by its published schema.`,
  examples: [
    'seedfall set my-farm price.soybean=11.20/bu price.corn=4.30/bu budget=18000',
    'seedfall set my-farm header-width=30ft boom-width=90ft tank=1000gal',
    'seedfall set my-farm "scale-total.North Forty=119000lb" "lift-flag.North Forty=speed-high"',
  ],
  options: [],
  takes: [2, Infinity],
  run({ words, host, json }) {
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    let { farm } = store;
    const done: string[] = [];
    for (const word of words.slice(1)) {
      const [name, value] = pairOf(word) ?? [word, ''];
      const stem = name.split('.')[0]!;
      const part = name.slice(stem.length + 1);
      const setting = SETTINGS.find(
        (one) => one.name.split('.')[0] === stem && one.name.includes('.') === name.includes('.'),
      );
      const sets = setting && value !== '' ? setting.set(farm, value, part) : null;
      if (!sets) {
        host.err(
          setting
            ? `${word}: ${setting.name} is ${setting.help}.\n`
            : `There is no setting "${name}"; there are ${SETTINGS.map((one) => one.name).join(', ')}.\n`,
        );
        host.err('Nothing was changed.\n');
        return 2;
      }
      farm = applyEdit(farm, { label: `Set ${name}`, sets }).farm;
      done.push(word);
    }
    const problems = store.save(farmSchema.parse(farm), []);
    printProblems(host, problems);
    if (json) printJson(host, { farm: store.path, set: done, problems });
    else host.out(`Set ${done.join(', ')}.\n`);
    return problems.some((one) => one.level === 'error') ? 2 : 0;
  },
};

function at(name: keyof Farm['planning'], value: number | null): Sets {
  return [{ path: ['planning', name], value }];
}

function number(text: string, least: number, then: (value: number) => Sets | null): Sets | null {
  const value = Number(text);
  return Number.isFinite(value) && value >= least ? then(value) : null;
}

function setScaleTotal(farm: Farm, text: string, name: string): Sets | null {
  const [field, year] = [fieldByName(farm, name), studySeason(farm)];
  const kg = text === NONE_SAID ? null : measured(text, 'mass');
  return field && year !== null && (kg !== null || text === NONE_SAID)
    ? sayScaleTotal(farm, year, field, kg).sets
    : null;
}

function setLifted(farm: Farm, text: string, part: string): Sets | null {
  const [field, year] = [fieldByName(farm, part), studySeason(farm)];
  const isBack = text.startsWith('-');
  const flag = LIFTABLE_FLAGS.find((one) => one === (isBack ? text.slice(1) : text));
  return field && year !== null && flag ? liftFlag(farm, year, field, flag, !isBack).sets : null;
}

/** "30ft" as SI of that quantity; without a unit it is SI already. */
function measured(text: string, quantity: string): number | null {
  const match = /^([0-9.]+)\s*([A-Za-z ]*)$/.exec(text);
  const [value, unit] = [Number(match?.[1]), match?.[2]?.trim() ?? ''];
  if (!match || !(value > 0)) return null;
  if (unit === '') return value;
  return isUnit(unit) && quantityOf(unit) === quantity ? toSI(value, unit) : null;
}

function setPrice(farm: Farm, text: string, part: string): Sets | null {
  const crop = cropIdOf(part);
  const match = /^([0-9.]+)(?:\/(kg|t|lb|bu))?$/.exec(text);
  if (crop === null || !match || !Number.isFinite(Number(match[1]))) return null;
  const kg = match[2] === 'bu' ? bushelKg[crop] : match[2] === undefined ? 1 : toSI(1, match[2] as 'kg' | 't' | 'lb');
  if (kg === undefined) return null;
  const year = studySeason(farm);
  if (year === null) return null;
  return setPriceOf(farm, year, { id: crop, name: crop }, Number(match[1]) / kg).sets;
}

function setThreshold(farm: Farm, text: string, part: string): Sets | null {
  const species = speciesIdOf(part);
  if (species === null) return null;
  const named = { id: species, name: species };
  return number(text, 1e-9, (value) => setThresholdOf(farm, named, value).sets);
}

function changeMachine(farm: Farm, kind: Machine['kind'], change: (machine: Machine) => Machine): Sets {
  const known = farm.machines.find((one) => one.kind === kind);
  const value = known
    ? farm.machines.map((one) => (one === known ? change(one) : one))
    : [...farm.machines, change({ id: kind, kind })];
  return [{ path: ['machines'], value }];
}

function machine(
  farm: Farm,
  kind: Machine['kind'],
  text: string,
  quantity: string,
  member: 'headerWidthM',
): Sets | null {
  const value = measured(text, quantity);
  return value === null ? null : changeMachine(farm, kind, (one) => ({ ...one, [member]: value }));
}

function setResidue(farm: Farm, text: string): Sets | null {
  if (text !== 'spread' && text !== 'chaff-line' && text !== 'impact-mill') return null;
  return changeMachine(farm, 'combine', (one) => ({ ...one, residue: text }));
}

const NONE_SAID = 'none said';

function setCombineArrival(farm: Farm, text: string): Sets | null {
  const year = studySeason(farm);
  const machine = farm.machines.find((one) => one.kind === 'combine')?.id ?? 'combine';
  if (year === null) return null;
  if (text === NONE_SAID) return sayArrival(farm, year, machine, null).sets;
  if (text === 'infested') return sayArrival(farm, year, machine, { infestedWith: [...speciesOf(farm)] }).sets;
  return text === 'clean' || text === 'unknown' ? sayArrival(farm, year, machine, text).sets : null;
}

function setHeading(farm: Farm, text: string, name: string): Sets | null {
  return ofField(farm, text, name, [0, 360], (field, year, value) => sayHeading(farm, year, field, value));
}

function setHeadlands(farm: Farm, text: string, name: string): Sets | null {
  const isLaps = text === NONE_SAID || Number.isInteger(Number(text));
  if (!isLaps) return null;
  return ofField(farm, text, name, [0, 4], (field, year, value) => sayHeadlandLaps(farm, year, field, value));
}

function ofField(
  farm: Farm,
  text: string,
  name: string,
  [least, most]: readonly [number, number],
  edit: (field: Field, year: number, value: number | null) => Edit,
): Sets | null {
  const field = fieldByName(farm, name);
  const year = studySeason(farm);
  if (!field || year === null) return null;
  if (text === NONE_SAID) return edit(field, year, null).sets;
  return number(text, least, (value) => (value <= most ? edit(field, year, value).sets : null));
}

function setBoom(farm: Farm, text: string): Sets | null {
  const widthM = measured(text, 'length');
  const usual = { sections: 1, delayOnS: 0.5, delayOffS: 0.5, lookAheadS: 0.5 };
  return widthM === null
    ? null
    : changeMachine(farm, 'sprayer', (one) => ({ ...one, boom: { ...usual, ...one.boom, widthM } }));
}

function setTank(farm: Farm, text: string): Sets | null {
  const volume = measured(text, 'volume');
  const liters = volume !== null && /[a-z]/i.test(text) ? volume * 1000 : volume;
  return liters === null ? null : changeMachine(farm, 'sprayer', (one) => ({ ...one, tankL: liters }));
}

function setCost(name: 'costPerHour' | 'limitedMin' | 'thoroughMin') {
  return (farm: Farm, text: string): Sets | null => {
    if (text === 'none') return setHarvestCost(farm, name, null).sets;
    const value = Number(text);
    return value > 0 && value < Infinity ? setHarvestCost(farm, name, value).sets : null;
  };
}

function setRoadSpeed(farm: Farm, text: string): Sets | null {
  if (text === 'none') return setHarvestCost(farm, 'roadSpeedMS', null).sets;
  const match = /^([0-9.]+)\s*([A-Za-z/]*)$/.exec(text);
  const unit = match?.[2] === '' ? 'm/s' : (match?.[2] ?? '');
  if (!match || !(Number(match[1]) > 0) || !isUnit(unit) || quantityOf(unit) !== 'speed') return null;
  return setHarvestCost(farm, 'roadSpeedMS', toSI(Number(match[1]), unit)).sets;
}

function setWay(farm: Farm, text: string, part: string): Sets | null {
  const [from, to] = part.split(',').map((name) => (name === 'yard' ? null : fieldByName(farm, name)));
  const distanceM = text === 'none' ? null : measured(text, 'length');
  if (from === undefined || to === undefined || from === to || (text !== 'none' && distanceM === null)) return null;
  if (part.split(',').some((name) => name !== 'yard' && fieldByName(farm, name) === null)) return null;
  const [start, end] = to === null ? [to, from] : [from, to];
  return end === null ? null : setRoad(farm, start, end, distanceM).sets;
}

function setRipe(farm: Farm, text: string, part: string): Sets | null {
  const year = studySeason(farm);
  if (year === null || (text !== 'none' && dayNumber(text) === null)) return null;
  const crop = cropIdOf(part);
  const field = fieldByName(farm, part);
  const fields = field
    ? [field]
    : farm.fields.filter((one) => one.ours && expectedCrop(farm, one.id, year).crop === crop);
  return fields.length === 0 ? null : sayRipe(farm, year, fields, text === 'none' ? null : text, part).sets;
}

function setCut(farm: Farm, text: string, part: string): Sets | null {
  const [year, field] = [studySeason(farm), fieldByName(farm, part)];
  if (year === null || !field || (text !== 'yes' && text !== 'no')) return null;
  return tickHarvest(farm, year, field, text === 'yes').sets;
}

function setCleaned(farm: Farm, text: string, part: string): Sets | null {
  const [year, field] = [studySeason(farm), fieldByName(farm, part)];
  if (year === null || !field) return null;
  if (text !== 'limited' && text !== 'thorough' && text !== 'none') return null;
  return sayCleanOut(farm, year, field, text === 'none' ? null : text).sets;
}
