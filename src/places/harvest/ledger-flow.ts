/** The seed ledger as a stream: what entered, and the branches in the order in which seed leaves. */
import type { FlowBranch, FlowPart } from '../../charts/flow-layout.ts';
import type { Ledger } from '../../../shared/harvest/ledger.ts';
import type { Case } from '../../../shared/model/range.ts';

export type LedgerLine = keyof Ledger;

export const STAGES = ['plant', 'header', 'machine'] as const;

export const CASE_WORDS: readonly { readonly id: Case; readonly name: string }[] = [
  { id: 'mild', name: 'mild' },
  { id: 'central', name: 'most likely' },
  { id: 'harsh', name: 'harsh' },
];

const SOURCES: readonly { readonly line: LedgerLine; readonly words: string }[] = [
  { line: 'carriedInSeeds', words: 'carried in' },
  { line: 'producedSeeds', words: 'produced here' },
];

interface Fate {
  readonly line: LedgerLine;
  readonly words: string;
  readonly stage: number;
}
const FATES: readonly Fate[] = [
  { line: 'shedBeforeSeeds', words: 'shed before harvest', stage: 0 },
  { line: 'leftStandingSeeds', words: 'left standing', stage: 1 },
  { line: 'headerLossSeeds', words: 'lost at the header', stage: 1 },
  { line: 'landedByMachineSeeds', words: 'landed on the field', stage: 2 },
  { line: 'landedOutsideSeeds', words: 'landed outside', stage: 2 },
  { line: 'grainTankSeeds', words: 'in the grain tank', stage: 2 },
  { line: 'destroyedSeeds', words: 'destroyed', stage: 2 },
  { line: 'leftInMachineSeeds', words: 'rides on', stage: 2 },
];

/** Every line of a ledger with its words, as a table reads it: sources, then fates. */
export const LEDGER_LINES = [
  ...SOURCES.map((one) => ({ ...one, side: 'in' as const })),
  ...FATES.map(({ line, words }) => ({ line, words, side: 'out' as const })),
];

/** Lies on the field after harvest; drawn full, what went elsewhere faint. */
const ON_THE_GROUND: readonly LedgerLine[] = ['shedBeforeSeeds', 'headerLossSeeds', 'landedByMachineSeeds'];

export function flowOf(ledger: Ledger): { sources: FlowPart[]; branches: FlowBranch[] } {
  return {
    sources: SOURCES.map(({ line, words }) => ({ id: line, words, amount: ledger[line] })),
    branches: FATES.map(({ line, words, stage }) => ({
      id: line,
      words,
      stage,
      amount: ledger[line],
      faint: !ON_THE_GROUND.includes(line),
    })),
  };
}

/** Seed that lies on the field after harvest, as a share of all that entered; null where nothing did. */
export function onTheGroundFraction(ledger: Ledger): number | null {
  const entered = ledger.producedSeeds + ledger.carriedInSeeds;
  const down = ON_THE_GROUND.reduce((sum, line) => sum + ledger[line], 0);
  return entered === 0 ? null : down / entered;
}
