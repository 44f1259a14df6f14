import { FigureBook } from '../../../shared/analysis/formula.ts';
import { harvestPlan } from '../../../shared/analysis/harvest-plan.ts';
import { type Working, workingOf } from '../../../shared/analysis/working.ts';
import { studySeason } from '../../../shared/model/lookups.ts';
import type { Command } from '../command.ts';
import type { FarmStore } from '../farm-store.ts';
import { openOrTell, resultsOf } from '../opened.ts';
import type { Host } from '../host.ts';
import { paragraph, printJson } from '../print.ts';
import { runStudy } from './study.ts';

export const workingCommand: Command = {
  name: 'working',
  words: 'FARM PATH',
  summary: 'how a number was made: formula, inputs with units, source, how sure',
  more: 'PATH is a number’s place in the study, such as fields/<id>/stakePerHa, or, of the order of harvest, one that seedfall harvest --json names: harvest/<machine>/<field>/thorough/money. Without a match, the paths that come nearest are listed.',
  examples: [
    'working my-farm fields/west/stakePerHa',
    'working my-farm stake',
    'working my-farm harvest/combine/west/ridesIn',
  ],
  options: [
    {
      name: 'by',
      value: 'WHAT',
      help: 'of the order of harvest: class: cleanest first, worst last (if not given); cost: whatever costs least',
    },
  ],
  takes: [2, 2],
  run({ words, options, host, json }) {
    const store = openOrTell(host, words[0]!);
    if (!store) return 2;
    const path = words[1]!.replace(/\.central$|\/$/, '');
    const by = options['by']?.[0] ?? 'class';
    if (by !== 'class' && by !== 'cost') {
      host.err('--by is class or cost.\n');
      return 2;
    }
    const figures = path.split('/')[0] === 'harvest' ? harvestFigures(host, store, by) : runStudy(host, store).figures;
    const working = workingOf(figures, path, store.farm);
    if (!working) {
      const last = path.split('/').at(-1)!.toLowerCase();
      const near = figures.paths().filter((one) => one.toLowerCase().includes(last) || one.startsWith(path));
      host.err(
        `There is no number at ${path}.\n${near.length > 0 ? `Near it: ${near.slice(0, 12).join(', ')}\n` : 'The paths are those of seedfall study --json and seedfall harvest --json.\n'}`,
      );
      return 2;
    }
    if (json) printJson(host, working);
    else print(host, working, '');
    return 0;
  },
};

/** Of the order of harvest, as `seedfall harvest` tells it. */
function harvestFigures(host: Host, store: FarmStore, by: 'class' | 'cost'): FigureBook {
  const figures = new FigureBook();
  const season = studySeason(store.farm);
  if (season === null) return figures;
  const { result, keep } = resultsOf(host, store);
  harvestPlan(store.farm, { season, by }, result, figures);
  keep();
  return figures;
}

function print(host: Host, working: Working, indent: string): void {
  const say = (text: string) => host.out(paragraph(indent + text, `${indent}  `));
  say(`${working.path} = ${rangeText(working)}`);
  say(`  ${working.gives}: ${working.formula}`);
  say(`  source: ${working.source}`);
  for (const input of working.inputs) {
    const values = Object.entries(input.byCase).map(([which, value]) =>
      Object.keys(input.byCase).length > 1 ? `${which} ${number(value)}` : number(value),
    );
    say(
      `  ${input.symbol} = ${same(values) ? number(Object.values(input.byCase)[0]) : values.join(', ')} ${input.unit === 'fraction' ? '' : input.unit} — ${input.means}; ${input.from}`,
    );
  }
  for (const one of working.parameters) {
    const sure =
      { read: 'passage read', abstract: 'abstract read', memory: 'from memory' }[one.verified] ?? one.verified;
    say(
      `  ${one.id} = ${number(one.value)} (${number(one.low)} to ${number(one.high)}) ${one.unit}; mild ${number(one.mild)}, harsh ${number(one.harsh)}; ${one.own ? 'the farm’s own value' : one.source}; ${sure}${one.note === undefined ? '' : `; ${one.note}`}${one.takenOverFrom === undefined ? '' : `; taken over from ${one.takenOverFrom}`}`,
    );
  }
  for (const note of working.notes) say(`  note: ${note}`);
  for (const input of working.inputs) if (input.working) print(host, input.working, `${indent}  `);
  if (indent === '')
    say(
      'mild and harsh take the quartiles of triangular(low, value, high) of each parameter; low and high of a result are the least and largest of its three cases.',
    );
}

function rangeText({ range, unit }: Working): string {
  if (range.central === null) return 'not known';
  const one =
    range.low === range.high
      ? number(range.central)
      : `${number(range.central)} (${number(range.low)} to ${number(range.high)})`;
  return `${one} ${unit === 'fraction' ? '' : unit}`.trim();
}

function number(value: number | null | undefined): string {
  if (value === null || value === undefined) return 'not known';
  if (value === 0) return '0';
  const size = Math.abs(value);
  return size >= 1e9 || size < 1e-3 ? value.toExponential(3) : String(Number(value.toPrecision(6)));
}

function same(values: readonly string[]): boolean {
  return values.length > 1 && new Set(values.map((one) => one.split(' ')[1])).size === 1;
}
