import { speciesOf } from '../../../shared/agronomy/species.ts';
import { speciesIdOf } from '../../../shared/agronomy/species-names.ts';
import {
  CHANGE_NOTE,
  changeFinding,
  changeNotes,
  overFarmFinding,
  roundInWords,
  roundRows,
  STATE_WORDS,
  toldInWords,
  turnInWords,
} from '../../../shared/analysis/change-words.ts';
import {
  type FieldChange,
  fieldChange,
  type WeedOverRounds,
  weedOverRounds,
} from '../../../shared/analysis/changes.ts';
import { csvText } from '../../../shared/export/csv.ts';
import { roundsTable } from '../../../shared/hand-over/rounds-table.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { speciesOf as speciesOfFarm } from '../../../shared/model/lookups.ts';
import { formatQuantity } from '../../../shared/units/format.ts';
import type { Command } from '../command.ts';
import { openOrTell, resultsOf } from '../opened.ts';
import type { Host } from '../host.ts';
import { paragraph, printJson } from '../print.ts';

export const changesCommand: Command = {
  name: 'changes',
  words: 'FARM',
  summary: 'what became of a weed from round to round: over the farm, or on one field',
  more: `Over the farm: what each round says of each field, and what became of it between the last two in which somebody looked. On one field: where it appeared, is gone or stayed, with areas, and the counts at the same places. ${CHANGE_NOTE}`,
  examples: ['changes my-farm --weed waterhemp --out rounds.csv', 'changes my-farm --field west --from round-2025'],
  options: [
    { name: 'weed', value: 'NAME', help: 'EPPO code, common or Latin name; else the farm’s first weed' },
    { name: 'field', value: 'ID', help: 'this field alone, cell by cell' },
    { name: 'from', value: 'ROUND', help: 'id of the earlier round; else the last but one in which somebody looked' },
    { name: 'to', value: 'ROUND', help: 'id of the later round; else the last in which somebody looked' },
    { name: 'out', value: 'PATH', help: 'file to write: .csv, a row a field and round' },
  ],
  takes: [1, 1],
  run({ words, options, host, json }) {
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const { farm } = store;
    const given = (name: string) => options[name]?.[0];
    const weed = given('weed');
    const species = weed === undefined ? speciesOfFarm(farm)[0] : speciesIdOf(weed);
    const wrong = wrongIn(farm, species ?? null, given);
    if (wrong !== null || !species) {
      host.err(`${wrong}\n`);
      return 2;
    }
    const { result, keep } = resultsOf(host, store);
    const over = weedOverRounds(farm, species, result);
    keep();
    const name = speciesOf(species).name;
    const out = given('out');
    if (out !== undefined)
      host.write(out, new TextEncoder().encode(csvText(roundsTable(roundRows(over), name, farm.display))));
    const field = given('field');
    if (field === undefined) {
      if (json) printJson(host, over);
      else printOver(host, over, farm, name);
      return over.fields.some((one) => one.last !== null) ? 0 : 1;
    }
    const looked = over.fields.find((one) => one.field === field)?.last ?? null;
    const [earlier, later] = [given('from') ?? looked?.earlier, given('to') ?? looked?.later];
    if (earlier === undefined || later === undefined) {
      host.err(`Nobody looked for ${name} in that field in two rounds: nothing can be compared yet.\n`);
      return 1;
    }
    const change = fieldChange(farm, { field, species, earlier, later }, result);
    if (!change) return 2;
    if (json) printJson(host, withoutCells(change));
    else printChange(host, change, farm, name);
    return 0;
  },
};

function wrongIn(farm: Farm, species: string | null, given: (name: string) => string | undefined): string | null {
  if (species === null && given('weed') === undefined) return 'No weed is on record yet: rate a field, or add counts.';
  if (species === null || !speciesOfFarm(farm).includes(species))
    return `The farm has no weed "${given('weed')}"; it has ${speciesOfFarm(farm).join(', ')}.`;
  const field = given('field');
  if (field !== undefined && !farm.fields.some((one) => one.id === field))
    return `The farm has no field with the id "${field}"; its ids are ${farm.fields.map((one) => one.id).join(', ')}.`;
  for (const end of ['from', 'to']) {
    const round = given(end);
    if (round === undefined) continue;
    if (field === undefined) return `--${end} compares one field: say which, --field ID.`;
    if (!farm.rounds.some((one) => one.id === round))
      return `The farm has no round "${round}"; its rounds are ${farm.rounds.map((one) => one.id).join(', ')}.`;
  }
  const [from, to] = [given('from'), given('to')];
  if (from !== undefined && from === to) return 'Two different rounds are compared: --from and --to are the same.';
  return given('out') === undefined || /\.csv$/i.test(given('out')!) ? null : 'The file to write ends in .csv.';
}

/** Areas of the states stand; the cells themselves are for a map. */
function withoutCells(change: FieldChange) {
  if (!change.ground) return change;
  const { cells: _cells, grid: _grid, origin: _origin, ...ground } = change.ground;
  return { ...change, ground };
}

function printOver(host: Host, over: WeedOverRounds, farm: Farm, weed: string): void {
  host.out(paragraph(`${overFarmFinding(over, weed)}.`));
  for (const field of over.fields) {
    host.out(paragraph(`${field.name}: ${turnInWords(field)}`));
    for (const round of field.rounds)
      if (round.told.rests !== 'nothing')
        host.out(`  ${roundInWords(round)}: ${toldInWords(round.told, farm.display)}\n`);
  }
  host.out(paragraph(CHANGE_NOTE));
}

function printChange(host: Host, change: FieldChange, farm: Farm, weed: string): void {
  const name = farm.fields.find((one) => one.id === change.field)!.name;
  host.out(paragraph(`${changeFinding(change, name, weed)}.`));
  for (const round of [change.earlier, change.later])
    host.out(`  ${roundInWords(round)}: ${toldInWords(round.told, farm.display)}\n`);
  if (change.ground)
    for (const [state, words] of Object.entries(STATE_WORDS)) {
      const area = formatQuantity(change.ground.areaM2[state as keyof typeof STATE_WORDS], 'area', farm.display);
      host.out(`  ${area.padStart(9)}  ${words}\n`);
    }
  for (const note of changeNotes(change, farm.display)) host.out(paragraph(note));
}
