/** One case of a trace: along the path with the ground's seed alone, or backward from the seed that lies on it. */
import { addLedgers, type Ledger, scaledLedger, sumSeeds } from '../harvest/ledger.ts';
import { emptyMachine } from '../harvest/machine-streams.ts';
import { moveSeed } from '../harvest/seed-movement.ts';
import { traceOrigin } from '../harvest/seed-origin.ts';
import type { Case } from '../model/range.ts';
import type { FieldDrives } from './kept-drives.ts';
import { portion } from './portion.ts';
import { broughtBy, rodeOnTo } from './seed-passage.ts';
import type { TraceBase, TracePartId } from './seed-trace.ts';
import type { Progress } from './step.ts';
import { runEmpty } from './steps/movement-own.ts';

export interface Traced {
  readonly seeds: number;
  readonly parts: readonly { readonly id: TracePartId; readonly field: string | null; readonly seeds: number }[];
  readonly fellOn: readonly { readonly field: string; readonly seeds: number }[];
  /** On this field, a cell. */
  readonly cellSeeds: Float64Array;
  readonly orderKnown: boolean;
}

export function* traceForward(
  { ask, place, paths, cases }: TraceBase,
  which: Case,
  drives: FieldDrives,
): Generator<Progress, Traced, void> {
  const { input, shed, passages } = cases[which];
  const ledgers: Ledger[] = [];
  const cellSeeds = shed.map((seeds, cell) => seeds * place[cell]!);
  const fellBefore = sumSeeds(cellSeeds);
  const standing = [input.standing[0]!.map((perM2, cell) => perM2 * place[cell]!)];
  for (const [index, path] of paths.entries()) {
    const [from, span] = [index / paths.length, 1 / paths.length];
    const along = { ...input, path: runEmpty(path), owner: path.owner };
    const { drive } = yield* portion(drives.drive(`${which} ${index}`, along), from, from + 0.5 * span);
    const own = { ...along, standing, state: emptyMachine(1), drive };
    const moved = yield* portion(moveSeed(own), from + 0.5 * span, from + span);
    ledgers.push(moved.ledger[0]!);
    moved.landed[0]!.forEach((seeds, cell) => (cellSeeds[cell]! += seeds / paths.length));
  }
  const ledger = scaledLedger(addLedgers(...ledgers), 1 / ledgers.length);
  const parts = (
    [
      ['shed before', fellBefore],
      ['header', ledger.headerLossSeeds],
      ['landed', ledger.landedByMachineSeeds],
      ['left standing', ledger.leftStandingSeeds],
      ['outside', ledger.landedOutsideSeeds],
      ['grain tank', ledger.grainTankSeeds],
      ['destroyed', ledger.destroyedSeeds],
      ['rode on', ledger.leftInMachineSeeds],
    ] as const
  ).flatMap(([id, seeds]) => (seeds > 0 ? [{ id, field: null, seeds }] : []));
  const fellOn = rodeOnTo(passages, ask.field, ledger.leftInMachineSeeds);
  return {
    seeds: sumSeeds(parts.map((one) => one.seeds)),
    parts,
    fellOn: fellOn ?? [],
    cellSeeds,
    orderKnown: fellOn !== null,
  };
}

export function* traceBack(
  { ask, place, paths, cases, ground }: TraceBase,
  which: Case,
  drives: FieldDrives,
): Generator<Progress, Traced, void> {
  const { input, shed, passages } = cases[which];
  const cellAreaM2 = ground.grid.cellM ** 2;
  const cellSeeds = shed.map((seeds, cell) => seeds * place[cell]!);
  let ofLodged = 0;
  for (const [index, path] of paths.entries()) {
    const [from, span] = [index / paths.length, 1 / paths.length];
    const along = { ...input, path: runEmpty(path), owner: path.owner };
    const times = yield* portion(drives.drive(`${which} ${index}`, along), from, from + 0.7 * span);
    const origin = traceOrigin(along, times, place);
    const { ofStanding, ofAboard } = yield* portion(origin, from + 0.7 * span, from + span);
    ofLodged += ofAboard.lodged.store / paths.length;
    const standing = input.standing[0]!;
    ofStanding.forEach((worth, cell) => {
      if (standing[cell]! > 0) cellSeeds[cell]! += (worth * standing[cell]! * cellAreaM2) / paths.length;
    });
  }
  const here = sumSeeds(cellSeeds.map((seeds, cell) => seeds * place[cell]!));
  const elsewhere = sumSeeds(cellSeeds.map((seeds, cell) => seeds * (1 - place[cell]!)));
  const brought = broughtBy(passages, ask.field);
  const parts = [
    { id: 'grown here' as const, field: null, seeds: here },
    { id: 'grown on' as const, field: null, seeds: elsewhere },
    ...(brought ?? []).map(({ field, seeds }) => ({
      id: field === null ? ('arrived' as const) : ('carried in' as const),
      field,
      seeds: seeds * ofLodged,
    })),
  ].filter((one) => one.seeds > 0);
  return {
    seeds: sumSeeds(parts.map((one) => one.seeds)),
    parts,
    fellOn: [],
    cellSeeds,
    orderKnown: brought !== null,
  };
}
