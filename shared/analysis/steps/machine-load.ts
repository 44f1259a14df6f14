/**
 * Per field, season and case: what the combine held at each point of its way through the field, own seed and what it brought,
 * and where it let seed fall. On an assumed path one way of driving the strips is told.
 */
import { machineParameterIds } from '../../harvest/machine-parameters.ts';
import { STREAM_IDS, type StreamId } from '../../harvest/machine-streams.ts';
import { moveSeed } from '../../harvest/seed-movement.ts';
import { done } from '../../model/problem.ts';
import { defineStep } from '../define-step.ts';
import type { FieldHarvestPath } from './harvest-path.ts';
import type { ChainLink } from './movement-chain.ts';
import { machineSettings, type MachineSettings, ownMovement, runEmpty } from './movement-own.ts';

export interface FieldMachineLoad {
  /** Seeds aboard at each point of the path, all species. */
  readonly heldSeeds: Readonly<Record<StreamId, Float32Array>>;
  /** Seeds that the machine laid on the field between a point and the next; from the last on, while it ran empty at the gate. */
  readonly depositSeeds: Float32Array;
  /** Seeds that fell at the header between a point and the next. */
  readonly headerSeeds: Float32Array;
  /** null where the order of fields, and with it what came aboard, is not known: then own seed alone is told. */
  readonly carriedInSeeds: number | null;
  /** Aboard after the separator has run empty at the gate. */
  readonly leftInMachineSeeds: number;
}

export const machineLoadStep = defineStep<MachineSettings, FieldMachineLoad>({
  id: 'machine-load',
  title: 'Seed aboard along the path',
  version: 1,
  per: ['field', 'season', 'case'],
  key: 'inputs',
  settings: machineSettings,
  parameters: () => machineParameterIds(),
  needs(_farm, scope) {
    return {
      field: { step: 'field', scope: { field: scope.field! } },
      path: { step: 'harvest-path', scope: { field: scope.field!, season: scope.season! } },
      seed: { step: 'seed-return', scope },
      carried: { step: 'carried', scope },
    };
  },
  *run({ settings, needs, p }) {
    const { path } = needs['path'] as FieldHarvestPath;
    const { carriedIn } = needs['carried'] as ChainLink;
    const { input, present, guest } = ownMovement(settings, needs, p);
    const { load } = yield* moveSeed({ ...input, path: runEmpty(path), owner: path.owner, recordLoad: true });
    const aboard = (carriedIn ?? []).reduce((sum, seeds) => sum + seeds, 0);
    const told = { carriedInSeeds: carriedIn === null ? null : aboard };
    if (load === null) return done({ ...NOTHING, ...told, leftInMachineSeeds: aboard });

    const factors = [...present.map(() => 1), aboard];
    /** All channels together: own species as they are, the guest as many times as seeds came in. */
    const sumAt = (values: Float64Array, point: number) =>
      factors.reduce((sum, factor, channel) => sum + factor * values[point * (guest + 1) + channel]!, 0);
    const along = (values: Float64Array) => Float32Array.from({ length: path.count }, (_, k) => sumAt(values, k));
    const between = (values: Float64Array) =>
      Float32Array.from({ length: path.count }, (_, k) => Math.max(0, sumAt(values, k + 1) - sumAt(values, k)));
    return done({
      ...told,
      heldSeeds: eachStream((id) => along(load.heldSeeds[id])),
      depositSeeds: between(load.landedSeeds),
      headerSeeds: between(load.headerLossSeeds),
      leftInMachineSeeds: STREAM_IDS.reduce((sum, id) => sum + sumAt(load.heldSeeds[id], path.count), 0),
    });
  },
});

function eachStream(make: (id: StreamId) => Float32Array): Record<StreamId, Float32Array> {
  return { grain: make('grain'), chaff: make('chaff'), straw: make('straw'), lodged: make('lodged') };
}

/** A path without a point. */
const NOTHING = {
  heldSeeds: eachStream(() => new Float32Array(0)),
  depositSeeds: new Float32Array(0),
  headerSeeds: new Float32Array(0),
};
