/** Zones with rates as one file to hand over, written and read back here. */
import { machineFiles, type MachineFiles, readBackInWords, zipped } from '../../../shared/hand-over/machine-files.ts';
import type { PrescribedZone } from '../../../shared/export/prescription.ts';
import type { Choice, PassOrder } from '../../../shared/model/farm.ts';
import type { Problem } from '../../../shared/model/problem.ts';
import { groundOutside } from '../../../shared/zones/outside-zones.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface MachineFilesAsk {
  readonly field: string;
  /** null: the whole field as one zone. */
  readonly zones: readonly PrescribedZone[] | null;
  readonly rates: Choice['rates'];
  readonly order: PassOrder;
  readonly format: 'geojson' | 'shapefile';
  /** Of the file, without ending. */
  readonly name: string;
  readonly title: string;
}

export type MachineFilesAnswer =
  | {
      readonly ok: true;
      readonly file: { readonly name: string; readonly bytes: Uint8Array; readonly type: string };
      readonly readMe: string;
      /** "Read back from west.shp: 3 zones, 12 ac." */
      readonly readBack: string;
      readonly notes: readonly Problem[];
    }
  | { readonly ok: false; readonly problems: readonly Problem[] };

export function machineFilesQuestion(open: OpenFarm, ask: MachineFilesAsk): MachineFilesAnswer {
  const field = open.farm.fields.find((one) => one.id === ask.field)!;
  const zones = ask.zones ?? [wholeField(field)];
  const made = machineFiles(open.farm, [{ field, zones, rates: ask.rates, order: ask.order }], ask);
  if (!made.ok) return { ok: false, problems: made.problems };
  return {
    ok: true,
    file: fileOf(made.value, ask),
    readMe: made.value.readMe,
    readBack: readBackInWords(open.farm, made.value.readBack),
    notes: made.value.notes,
  };
}

function wholeField(field: Parameters<typeof groundOutside>[0]): PrescribedZone {
  return { id: 'whole field', why: 'the whole field', ...groundOutside(field, []) };
}

function fileOf(made: MachineFiles, { format, name }: MachineFilesAsk) {
  return format === 'shapefile'
    ? { name: `${name}.zip`, bytes: zipped(made), type: 'application/zip' }
    : { ...made.files[0]!, type: 'application/geo+json' };
}
