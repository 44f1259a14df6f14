import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, test } from 'vitest';
import { assertClosed, closeLedger } from '../../../shared/harvest/ledger.ts';
import type { Ledger } from '../../../shared/harvest/ledger.ts';
import { emptyMachine, heldSeeds, removeAtCleanOut } from '../../../shared/harvest/machine-streams.ts';
import type { Movement } from '../../../shared/harvest/movement-input.ts';
import { landedBeyondFraction, landedUpToFraction, meanShiftM } from '../../support/straight-pass.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';
import { inputOf, move } from './support.ts';
import type { CaseGiven, CaseGrid, CaseMachine, CasePatch, CasePath } from './support.ts';

interface CaseLedger {
  on_plant: number;
  carried_in: number;
  left_standing: number;
  header_loss: number;
  landed_by_machine_in_field: number;
  landed_outside: number;
  grain_tank: number;
  destroyed: number;
  left_in_machine: number;
}
// eslint-disable-next-line @typescript-eslint/no-explicit-any
type Case = { name: string; title: string; given: any; expected: any; tolerance: any; because: string };

const { cases } = JSON.parse(readFileSync(new URL('./cases.json', import.meta.url), 'utf8')) as { cases: Case[] };
const one = (name: string) => cases.find((each) => each.name === name)!;
const visited = new Set<string>();
const worst = { ledger: 0, bins: 0, closure: 0 };

/** Every ledger line of the case, and the law. */
function compareLedger(movement: Movement, expected: CaseLedger, within: number, because: string): number {
  const got = movement.ledger[0]!;
  const standing = movement.standingSeeds[0]!;
  const entering = expected.on_plant + expected.carried_in || 1;
  const lines: [number, number][] = [
    [standing, expected.on_plant],
    [got.carriedInSeeds, expected.carried_in],
    [got.leftStandingSeeds, expected.left_standing],
    [got.headerLossSeeds, expected.header_loss],
    [got.landedByMachineSeeds, expected.landed_by_machine_in_field],
    [got.landedOutsideSeeds, expected.landed_outside],
    [got.grainTankSeeds, expected.grain_tank],
    [got.destroyedSeeds, expected.destroyed],
    [got.leftInMachineSeeds, expected.left_in_machine],
  ];
  for (const [actual, wanted] of lines) {
    closeTo(actual / entering, wanted / entering, { within, because });
    if (within <= 1e-9) worst.ledger = Math.max(worst.ledger, Math.abs(actual - wanted) / entering);
  }
  const whole: Ledger = { ...got, producedSeeds: standing };
  assertClosed(whole);
  worst.closure = Math.max(worst.closure, Math.abs(closeLedger(whole)));
  return entering;
}

function compareBins(actual: ArrayLike<number>, expected: readonly number[], entering: number, because: string): void {
  expected.forEach((wanted, bin) => {
    worst.bins = Math.max(worst.bins, Math.abs(actual[bin]! - wanted) / entering);
    closeTo(actual[bin]! / entering, wanted / entering, { within: 1e-9, because });
  });
}

function byColumns(landed: Float64Array, grid: CaseGrid, widthM: number): Float64Array {
  const each = Math.round(widthM / grid.cell_m);
  const bins = new Float64Array(grid.nx / each);
  landed.forEach((seeds, cell) => (bins[Math.floor((cell % grid.nx) / each)]! += seeds));
  return bins;
}
function byRows(landed: Float64Array, grid: CaseGrid): Float64Array {
  const rows = new Float64Array(grid.ny);
  landed.forEach((seeds, cell) => (rows[Math.floor(cell / grid.nx)]! += seeds));
  return rows;
}
const sum = (values: ArrayLike<number>) => Array.from(values).reduce((a, b) => a + b, 0);

describe('cases with a path and patches', () => {
  for (const each of cases.filter(({ given }) => given.path?.t && given.patches)) {
    test(`${each.name}: ${each.title}`, () => {
      visited.add(each.name);
      const given = each.given as CaseGiven & { patches: CasePatch[] };
      const { grid } = given;
      const { expected, tolerance, because } = each;
      const movement = move(inputOf(given, [given.patches]));
      const landed = movement.landed[0]!;
      const entering = compareLedger(movement, expected.ledger, tolerance.ledger_relative_to_seed_entering, because);
      expect(Math.min(...landed)).toBeGreaterThanOrEqual(0);

      if (expected.landed_by_5m_of_x) {
        compareBins(byColumns(landed, grid, 5), expected.landed_by_5m_of_x, entering, because);
      }
      if (expected.closed_form_by_5m_of_x) {
        compareBins(byColumns(landed, grid, 5), expected.closed_form_by_5m_of_x, entering, because);
        const [{ delay_s, tau_s }] = given.machine.streams as [CaseMachine['streams'][number]];
        const stream = { share: 1, delayS: delay_s, timeConstantS: tau_s };
        const pass = { speedMS: 2, patchLengthM: 10, cutterBarToExitM: given.machine.exit_behind_m };
        (expected.closed_form_by_5m_of_x as number[]).forEach((seeds, bin) => {
          const share =
            landedUpToFraction(stream, pass, 5 * bin + 5 - 50) - landedUpToFraction(stream, pass, 5 * bin - 50);
          closeTo(share, seeds / entering, { within: 1e-11, because: 'our closed form against theirs' });
        });
        for (const [distance, share] of Object.entries((expected.share_beyond_m ?? {}) as Record<string, number>)) {
          closeTo(landedBeyondFraction([stream], pass, Number(distance)), share, {
            within: 1e-11,
            because: 'closed form',
          });
        }
        if (expected.mean_shift_m) {
          closeTo(meanShiftM(stream, pass), expected.mean_shift_m, { within: 1e-12, because: 'closed form' });
        }
      }
      if (expected.landed_by_swath_and_10m_of_x) {
        (expected.landed_by_swath_and_10m_of_x as number[][]).forEach((bins, swath) => {
          const rows = landed.slice(swath * 9 * grid.nx, (swath + 1) * 9 * grid.nx);
          compareBins(byColumns(rows, grid, 10), bins, entering, because);
        });
      }
      if (expected.landed_by_10_rows) compareBins(byRows(landed, grid), expected.landed_by_10_rows, entering, because);
      if (expected.landed_by_half_metre_of_y) {
        compareBins(byRows(landed, grid), expected.landed_by_half_metre_of_y, entering, because);
      }
      if (expected.share_of_seed_in_densest_5_percent_of_cells !== undefined) {
        const densest = Array.from(landed).sort((a, b) => b - a);
        const top = sum(densest.slice(0, Math.floor(0.05 * landed.length))) / sum(landed);
        closeTo(top, expected.share_of_seed_in_densest_5_percent_of_cells, { within: 1e-9, because });
      }
      if (expected.pile_seeds_during_stop !== undefined) {
        const column = byColumns(landed, grid, 1)[72]!;
        closeTo(column / entering, expected.landed_in_column_x72 / entering, { within: 1e-9, because });
        // the pile is what the stop adds to that column: run the same path with the stop cut out of the clock
        const off = {
          ...given,
          path: { ...given.path, running: given.path.running.map((on, k) => (k === 40 ? 0 : on)) },
        };
        const before = move(inputOf({ ...given, path: upTo(given.path, 41) }, [given.patches]));
        const after = move(inputOf({ ...given, path: upTo(given.path, 42) }, [given.patches]));
        const still = move(inputOf({ ...off, path: upTo(off.path, 42) }, [given.patches]));
        const pile = sum(after.landed[0]!) - sum(before.landed[0]!);
        const wanted = expected.pile_seeds_during_stop as number;
        closeTo(pile / (wanted || 1), wanted / (wanted || 1), { within: tolerance.pile_relative, because });
        closeTo(sum(still.landed[0]!) - sum(before.landed[0]!), 0, { within: 1e-9, because: 'separator off' });
      }
      if (expected.landed_total !== undefined) {
        closeTo(sum(landed) / entering, expected.landed_total / entering, { within: 1e-9, because });
        const streams = given.machine.streams.map((stream) => ({ ...stream, mill_kill: 0 }));
        const noMill = move(inputOf({ ...given, machine: { ...given.machine, streams } }, [given.patches]));
        closeTo(1 - sum(landed) / sum(noMill.landed[0]!), expected.reduction_of_seed_returned_share, {
          within: 1e-9,
          because,
        });
      }
      if (expected.landed_per_m_at_x_560_590 !== undefined) {
        const perM = sum(byColumns(landed, grid, 1).slice(560, 590)) / 30;
        closeTo(perM / expected.landed_per_m_at_x_560_590, 1, { within: 1e-9, because });
        closeTo(perM / expected.closed_form_per_m, 1, { within: tolerance.per_m_relative, because });
      }
      if (expected.share_outside !== undefined) {
        closeTo(movement.ledger[0]!.landedOutsideSeeds / entering, expected.share_outside, { within: 1e-9, because });
      }
      if (expected.newly_cut_m2) {
        const { owner } = inputOf(given, [given.patches]);
        const subAreaM2 = owner.grid.cellM ** 2;
        const cutM2 = [0, 0];
        let uncutM2 = 0;
        for (const k of owner.segment) {
          if (k < 0) uncutM2 += subAreaM2;
          else cutM2[k < 100 ? 0 : 1]! += subAreaM2;
        }
        (expected.newly_cut_m2 as number[]).forEach((wanted, pass) =>
          closeTo(cutM2[pass]!, wanted, { within: 1e-6, because: 'sums of 0.01 m²' }),
        );
        closeTo(uncutM2, expected.left_standing_m2, { within: 1e-6, because: 'sums of 0.01 m²' });
      }
      if (expected.centre_of_landed) {
        const total = sum(landed);
        let x = 0;
        let y = 0;
        landed.forEach((seeds, cell) => {
          x += seeds * ((cell % grid.nx) + 0.5);
          y += seeds * (Math.floor(cell / grid.nx) + 0.5);
        });
        closeTo(x / total, expected.centre_of_landed[0], { within: tolerance.centre_m, because });
        closeTo(y / total, expected.centre_of_landed[1], { within: tolerance.centre_m, because });
      }
    });
  }
});

function upTo(path: CasePath, records: number): CasePath {
  return {
    t: path.t.slice(0, records),
    x: path.x.slice(0, records),
    y: path.y.slice(0, records),
    heading_deg: path.heading_deg.slice(0, records),
    cutting: path.cutting.slice(0, records - 1),
    running: path.running.slice(0, records - 1),
  };
}

test('convergence-with-step: the map nears the closed form as everything is refined, and every ledger closes', () => {
  const { given, expected } = one('convergence-with-step');
  visited.add('convergence-with-step');
  const stream = { share: 1, delayS: given.stream.delay_s, timeConstantS: given.stream.tau_s };
  const pass = { speedMS: given.path.speed_m_s, patchLengthM: 10, cutterBarToExitM: given.stream.exit_behind_m };
  const errors = (
    expected.rows as {
      record_spacing_m: number;
      sub_cell_m: number;
      step_m: number;
      max_cumulative_error_share: number;
    }[]
  ).map((row) => {
    const dt = row.record_spacing_m / pass.speedMS;
    const count = Math.round(given.path.duration_s / dt);
    const index = Array.from({ length: count + 1 }, (_, k) => k);
    const grid = { x0: 0, y0: 0, nx: 300, ny: 1, cell_m: 1, sub_cells_per_side: Math.round(1 / row.sub_cell_m) };
    const movement = move(
      inputOf(
        {
          grid,
          boundary_box: [0, 0, 300, 1],
          path: {
            t: index.map((k) => k * dt),
            x: index.map((k) => given.path.x0 + k * row.record_spacing_m),
            y: index.map(() => given.path.y),
            heading_deg: index.map(() => given.path.heading_deg),
            cutting: index.slice(1).map(() => 1),
            running: index.slice(1).map(() => 1),
          },
          machine: {
            header_m: given.header_m,
            header_loss: 0,
            exit_behind_m: given.stream.exit_behind_m,
            step_m: row.step_m,
            step_s: 1e9,
            streams: [
              {
                name: 'chaff',
                fraction: 1,
                delay_s: stream.delayS,
                tau_s: stream.timeConstantS,
                exit: 'chaff',
                mill_kill: 0,
              },
            ],
            kernels: { chaff: { kind: 'uniform', width_m: 0.9, n: 1 } },
          },
        },
        [[{ x0: 50, y0: 0, x1: 60, y1: 1, seeds_per_m2: 1000 }]],
      ),
    );
    assertClosed({ ...movement.ledger[0]!, producedSeeds: movement.standingSeeds[0]! });
    let landed = 0;
    let error = 0;
    for (let x = 1; x <= 280; x++) {
      landed += movement.landed[0]![x - 1]! / 1e4;
      error = Math.max(error, Math.abs(landed - landedUpToFraction(stream, pass, x - 50)));
    }
    expect(error, `at records ${row.record_spacing_m} m apart`).toBeLessThanOrEqual(2 * row.max_cumulative_error_share);
    return error;
  });
  expect(errors.at(-1)!).toBeLessThan(errors[0]! / 8);
});

test('second-field-with-and-without-clean-down: what is left aboard lands in the next field, less what was removed', () => {
  const { given, expected, because } = one('second-field-with-and-without-clean-down');
  visited.add('second-field-with-and-without-clean-down');
  const base = { ...given, path: given.path_both } as CaseGiven;
  for (const share of given.clean_down_shares as number[]) {
    const wanted = expected[share.toFixed(1)];
    const first = move(inputOf(base, [given.patches_first]));
    const entering = compareLedger(first, wanted.first, 1e-9, because);
    const cleaned = removeAtCleanOut(first.state, share);
    const removed = heldSeeds(first.state, 0) - heldSeeds(cleaned, 0);
    closeTo(removed / entering, wanted.removed_at_clean_down / entering, { within: 1e-9, because });
    const second = move(inputOf(base, [given.patches_second], cleaned));
    compareLedger(second, wanted.second, 1e-9, because);
    compareBins(byColumns(second.landed[0]!, given.grid, 10), wanted.second_landed_by_10m_of_x, entering, because);
  }
});

test('published-distances-qualitative: shares beyond a distance follow the closed form', () => {
  const { expected, tolerance, because } = one('published-distances-qualitative');
  visited.add('published-distances-qualitative');
  for (const machine of expected.machines) {
    const streams = (machine.streams as [string, number, number, number][]).map(([, share, delayS, timeConstantS]) => ({
      share,
      delayS,
      timeConstantS,
    }));
    const pass = {
      speedMS: machine.speed_m_s,
      patchLengthM: machine.patch_m,
      cutterBarToExitM: machine.exit_behind_m,
    };
    for (const [distance, share] of Object.entries(machine.share_beyond_m as Record<string, number>)) {
      closeTo(landedBeyondFraction(streams, pass, Number(distance)), share, {
        within: tolerance.share_absolute,
        because,
      });
    }
  }
});

test('the random cases side by side as channels give each its own numbers', () => {
  const given = one('random-3').given as CaseGiven & { patches: CasePatch[] };
  const other = given.patches.slice(0, 1);
  const together = move(inputOf(given, [given.patches, other, []]));
  const alone = [given.patches, other, []].map((patches) => move(inputOf(given, [patches])));
  alone.forEach((movement, channel) => {
    expect(together.landed[channel]).toEqual(movement.landed[0]);
    expect(together.ledger[channel]).toEqual(movement.ledger[0]);
    closeTo(heldSeeds(together.state, channel), heldSeeds(movement.state, 0), { within: 0, because: 'the same sums' });
  });
  expect(heldSeeds(emptyMachine(1), 0)).toBe(0);
});

afterAll(() => {
  expect([...visited].sort()).toEqual(cases.map(({ name }) => name).sort());
  recordAgreement('seed-movement', 'ledger lines', worst.ledger, 1e-9, 'of the seed entering');
  recordAgreement('seed-movement', 'landed bins', worst.bins, 1e-9, 'of the seed entering');
  recordAgreement('seed-movement', 'closure of the ledger', worst.closure, 1e-12, 'of the seed entering');
  console.info('seed movement, worst', worst);
});
