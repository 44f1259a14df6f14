/**
 * Seed of one place followed on a field of 200 000 records, all three cases, both ways: the first press, which has to work out how the
 * machine drove, and the next ones; beside plain movements of the same seed along the same path in the same run.
 */
import { resolveParameters } from '../../shared/agronomy/parameter.ts';
import { KeptDrives } from '../../shared/analysis/kept-drives.ts';
import { followSeed, type TraceBase, type TraceWay } from '../../shared/analysis/seed-trace.ts';
import { runEmpty, withGuest } from '../../shared/analysis/steps/movement-own.ts';
import { gridOver } from '../../shared/geometry/grid.ts';
import { groundCells } from '../../shared/harvest/ground-cells.ts';
import { machineParameterIds } from '../../shared/harvest/machine-parameters.ts';
import { type Case, CASES } from '../../shared/model/range.ts';
import { inventedFrame, inventedLog, rectangle, retrace } from '../support/invented-log.ts';
import { run as toEnd } from '../support/run.ts';
import { move } from '../reference/seed-movement/support.ts';
import { type Row, row } from './row.ts';
import { tell, timeInTurn } from './timing.ts';

const RECORDS = 200_000;
const LEAST_RUNS = 3;
const LOG = { passS: 444, passes: Math.ceil(RECORDS / 459), spacingM: 8.64 };
const HEADER_M = 9;

export function run(): { rows: Row[] } {
  const base = traceBaseOf();
  const kept = new KeptDrives();
  const first = (way: TraceWay) => () => toEnd(followSeed(asked(base, way)));
  const next = (way: TraceWay) => () => toEnd(followSeed(asked(base, way), kept));
  const [path] = base.paths;
  const plain = () => {
    for (const which of CASES) move({ ...base.cases[which].input, path: runEmpty(path!), owner: path!.owner });
  };
  const names = [
    'back, first press',
    'back, next press',
    'onward, first press',
    'onward, next press',
    'plain movement',
  ];
  const jobs = [first('to'), next('to'), first('from'), next('from'), plain];
  const timings = timeInTurn(
    jobs.map((job, index) => ({ name: names[index]!, run: job })),
    LEAST_RUNS,
  );
  timings.forEach((timing, index) => console.log(`${path!.count} records, ${names[index]}: ${tell(timing)}`));
  const [back, backAgain, onward, onwardAgain, moved] = timings.map((one) => one.cpuS) as [
    number,
    number,
    number,
    number,
    number,
  ];
  return {
    rows: [
      row(`${path!.count} records, three cases: where seed of a place came from, first press, CPU`, back, 's'),
      row('the same, next press', backAgain, 's'),
      row('where it went, first press', onward, 's'),
      row('the same, next press', onwardAgain, 's'),
      row('came from, first press, over plain movements forward', back / moved, '', { atMost: 1 }),
      row('came from, next press, over plain movements forward', backAgain / moved, '', { atMost: 0.25 }),
      row('went to, next press, over plain movements forward', onwardAgain / moved, '', { atMost: 0.5 }),
    ],
  };
}

const asked = (base: TraceBase, way: TraceWay): TraceBase => ({ ...base, ask: { ...base.ask, way } });

/** Weeds on three tenths of the cells of a field of 350 ha; the place a circle of 20 m in its middle. */
function traceBaseOf(): TraceBase {
  const log = inventedLog(LOG);
  const [wideM, highM] = [LOG.passS * 1.8, LOG.passes * LOG.spacingM + HEADER_M];
  const grid = gridOver([0, 0, wideM, highM], 5);
  const path = retrace(log, { boundary: rectangle(0, 0, wideM, highM), grid });
  const cells = grid.columns * grid.rows;
  const inside = new Uint8Array(cells).fill(1);
  const standing = Float64Array.from({ length: cells }, (_, cell) => ((cell * 7919) % 1000 < 300 ? 1000 : 0));
  const ground = { origin: inventedFrame.toLonLat(0, 0), grid, inside } as unknown as TraceBase['ground'];
  const around = { xM: wideM / 2, yM: highM / 2, radiusM: 20 };
  const settings = { residue: 'spread', chaffWidthM: null, strawWidthM: null } as const;
  const caseOf = (which: Case) => {
    const values = resolveParameters(machineParameterIds(), which);
    const input = withGuest(settings, [standing], { field: ground, path: { headerWidthM: HEADER_M } }, values);
    return { input, shed: new Float64Array(cells), passages: [] };
  };
  return {
    ask: { field: 'large', season: 2026, way: 'to', ground: { at: [-96, 42], radiusM: around.radiusM } },
    name: 'Large',
    ground,
    place: groundCells(around, grid, inside),
    paths: [path],
    looked: true,
    even: false,
    ladderM: [10, 20, 40, 80, 150, 300, 750],
    cases: { mild: caseOf('mild'), central: caseOf('central'), harsh: caseOf('harsh') },
    rests: [path],
  };
}
