/**
 * Zones with their rates as files for a machine: written, read back by our own readers, and handed over with a text that says what
 * is in them. The one part of the core that both writes and reads.
 */
import { cautionsFor } from '../agronomy/cautions.ts';
import { exporters } from '../export/exporters.ts';
import type { Exporter } from '../export/exporter.ts';
import { joinPrescriptions, prescribe, type Prescription } from '../export/prescription.ts';
import { readMe } from '../export/read-me.ts';
import { writeArchive } from '../import/archive.ts';
import { readBack, type ReadBack } from '../import/read-back.ts';
import type { Choice, Farm, Field } from '../model/farm.ts';
import { choiceOf } from '../model/plan-edits.ts';
import { done, type Outcome, problem, type Problem, refused } from '../model/problem.ts';
import { formatQuantity } from '../units/format.ts';
import { isUnit, type UnitId } from '../units/units.ts';
import { outsideInWords, positionLostInWords } from '../zones/order-words.ts';
import { groundOutside } from '../zones/outside-zones.ts';
import type { PrescribedZone } from '../export/prescription.ts';

export interface FieldZonesOut {
  readonly field: Field;
  readonly zones: readonly PrescribedZone[];
  /** Of one pass; empty: the zones go out without rates. */
  readonly rates: Choice['rates'];
  /** null where nothing was ordered: the zones alone, nothing outside. */
  readonly order: NonNullable<Choice['orders']>[number] | null;
}

export interface MachineFiles {
  readonly files: readonly { readonly name: string; readonly bytes: Uint8Array }[];
  readonly readMe: string;
  readonly readBack: ReadBack;
  readonly notes: readonly Problem[];
}

/** A field's zones with the rates that the plan holds for them: a zone's own choice goes before its field's. */
export function plannedZones(
  farm: Farm,
  field: Field,
  zones: readonly PrescribedZone[],
  season: number,
  pass?: string,
): FieldZonesOut[] {
  const ownOf = (zone: string) =>
    farm.plan.find((one) => one.season === season && 'zone' in one.target && one.target.zone === zone) ?? null;
  const apart = zones.filter((zone) => ownOf(zone.id) !== null);
  const together = zones.filter((zone) => !apart.includes(zone));
  return [
    ...(together.length > 0
      ? [{ field, zones: together, ...passOf(choiceOf(farm.plan, season, field.id), pass) }]
      : []),
    // Where zones differ, what is outside all of them is for the field's own order to say.
    ...apart.map((zone) => ({ field, zones: [zone], rates: passOf(ownOf(zone.id), pass).rates, order: null })),
  ];
}

/** The rates of one pass of a choice, or of its first pass with rates. */
function passOf(choice: Choice | null, pass?: string): Pick<FieldZonesOut, 'rates' | 'order'> {
  const wanted = pass ?? choice?.rates[0]?.pass;
  return {
    rates: choice?.rates.filter((one) => one.pass === wanted) ?? [],
    order: choice?.orders?.find((one) => one.pass === wanted) ?? null,
  };
}

/** @param name of the files, without ending @param format id of an exporter */
export function machineFiles(
  farm: Farm,
  fields: readonly FieldZonesOut[],
  { name, format, title }: { readonly name: string; readonly format: Exporter['id']; readonly title: string },
): Outcome<MachineFiles> {
  const exporter = exporters.find((one) => one.id === format);
  if (!exporter) throw new Error(`machineFiles: no format ${format}`);
  const prescriptions: Prescription[] = [];
  for (const one of fields) {
    const allZones = fields.filter((it) => it.field === one.field).flatMap((it) => it.zones);
    const made = prescriptionOf(farm, one, allZones);
    if (!made.ok) return made;
    prescriptions.push(made.value);
  }
  const joined = joinPrescriptions(prescriptions);
  if (!joined) {
    return refused(
      problem('error', 'units-mixed', 'The rates of these fields are in different units: one file cannot hold both.', {
        hint: 'Write one file a field, or give the rates in one unit.',
      }),
    );
  }
  if (joined.features.length === 0)
    return refused(problem('error', 'zones-missing', 'There are no zones to write.', { where: { column: 'zones' } }));
  const { files, notes } = exporter.write(joined.features, { name, units: joined.units });
  const back = readBack(
    files,
    joined.features.map(({ polygon, properties }) => ({
      polygon,
      rate: typeof properties['rate'] === 'number' ? properties['rate'] : null,
    })),
  );
  if (!back.ok) return back;
  return done({
    files,
    notes,
    readBack: back.value,
    readMe: readMe({
      title,
      invented: farm.invented,
      lines: linesOf(fields),
      files: files.map((one) => one.name),
      columns: joined.columns,
      notes: notes.filter((one) => one.code !== 'unit'),
      readBack: readBackInWords(farm, back.value),
      cautions: cautionsFor(['product', 'rate', 'machine', 're-entry']).map((one) => one.text),
    }),
  });
}

export function readBackInWords(farm: Pick<Farm, 'display'>, { name, features, areaM2 }: ReadBack): string {
  const zones = `${features} zone${features === 1 ? '' : 's'}`;
  return `Read back from ${name}: ${zones}, ${formatQuantity(areaM2, 'area', farm.display)}.`;
}

/** All of it as one .zip, with its read-me. */
export function zipped({ files, readMe }: MachineFiles): Uint8Array {
  return writeArchive([...files, { name: 'README.txt', bytes: new TextEncoder().encode(readMe) }]);
}

function prescriptionOf(
  farm: Farm,
  { field, zones, rates, order }: FieldZonesOut,
  allZones: readonly PrescribedZone[],
): Outcome<Prescription> {
  const strange = rates.find((one) => !isUnit(one.unit));
  if (strange) {
    return refused(
      problem('error', 'rate-unit', `${field.name}: the rate of ${strange.product} is in “${strange.unit}”.`, {
        hint: 'Keep the rate again, in a unit that is known here.',
      }),
    );
  }
  const fraction = order?.where === 'zones' ? order.outsideFraction : 0;
  const rateMeans = rates[0]?.rateMeans ?? 'product';
  if (rateMeans === 'spray volume' && (order?.volumeLHa ?? null) === null) {
    return refused(
      problem('error', 'volume-missing', `${field.name}: the rate shall be the spray volume, and none is told.`, {
        where: { column: 'volume' },
        hint: 'Type the spray volume.',
      }),
    );
  }
  const outside =
    fraction > 0
      ? groundOutside(
          field,
          allZones.map((one) => one.area),
        )
      : null;
  return done(
    prescribe({
      display: farm.display,
      field: field.name,
      zones,
      outside: outside && outside.area.length > 0 ? { ...outside, fraction } : null,
      rates: rates.map(({ product, perArea, unit }) => ({
        product: farm.products.find((one) => one.id === product)?.name ?? product,
        perArea,
        unit: unit as UnitId,
      })),
      volumeLHa: order?.volumeLHa ?? null,
      rateMeans,
    }),
  );
}

function linesOf(fields: readonly FieldZonesOut[]): string[] {
  return fields.map(({ field, zones, rates, order }) => {
    const wholeField = order?.where === 'field';
    const about = {
      outside: { areaM2: wholeField ? 0 : 1, fraction: order?.outsideFraction ?? 0 },
      positionLost: order?.positionLost ?? ('nothing' as const),
    };
    const what = rates.length === 0 ? 'zones without rates.' : 'zones with rates as typed from the labels.';
    const which = order === null ? `${field.name}, ${zones.map((one) => one.id).join(', ')}` : field.name;
    return `${which}: ${what} ${outsideInWords(about)} ${positionLostInWords(about)}`;
  });
}
