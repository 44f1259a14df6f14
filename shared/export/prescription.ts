/** What a machine is told zone by zone: areas and rates as columns, each with its unit, and in words what each column means. */
import type { MultiPolygon } from '../geometry/types.ts';
import { fromSI, type UnitId } from '../units/units.ts';
import { shownUnit, type Display } from '../units/format.ts';
import type { ZoneFeature } from './exporter.ts';

export interface PrescribedZone {
  readonly id: string;
  readonly area: MultiPolygon;
  readonly areaM2: number;
  readonly why: string;
}

export interface PrescriptionInput {
  readonly display: Display;
  readonly field: string;
  readonly zones: readonly PrescribedZone[];
  /** The ground outside the zones where something goes out, with its share of the zones' rate; null where nothing does. */
  readonly outside: { readonly area: MultiPolygon; readonly areaM2: number; readonly fraction: number } | null;
  /** None where the zones are told without rates. */
  readonly rates: readonly { readonly product: string; readonly perArea: number; readonly unit: UnitId }[];
  /** In the zones; null for a dry product or where it is not told. */
  readonly volumeLHa: number | null;
  /** What the column `rate` holds: the first product's, or the spray volume of the whole mix. */
  readonly rateMeans: 'product' | 'spray volume';
}

export interface PrescriptionColumn {
  readonly name: string;
  readonly means: string;
  readonly unit: UnitId | null;
}

export interface Prescription {
  readonly features: readonly ZoneFeature[];
  readonly columns: readonly PrescriptionColumn[];
  readonly units: Readonly<Record<string, UnitId>>;
}

/** @throws where the rate shall be the spray volume and none is told */
export function prescribe(input: PrescriptionInput): Prescription {
  const { rates, volumeLHa, rateMeans, zones, outside, display } = input;
  if (rateMeans === 'spray volume' && volumeLHa === null) throw new Error('prescribe: no spray volume is told');
  const [areaUnit, volumeUnit] = [shownUnit('area', display), shownUnit('volume per area', display)];
  const volume = volumeLHa === null ? null : fromSI(volumeLHa, volumeUnit);
  const columns: PrescriptionColumn[] = [
    { name: 'zone', means: 'name of the zone', unit: null },
    { name: 'field', means: 'name of the field', unit: null },
    { name: 'area', means: 'area of the zone', unit: areaUnit },
    { name: 'why', means: 'why it is a zone', unit: null },
  ];
  const amounts: { readonly column: string; readonly inZone: number }[] = [];
  const say = (name: string, means: string, unit: UnitId, inZone: number) => {
    columns.push({ name, means, unit });
    amounts.push({ column: name, inZone });
  };
  if (rateMeans === 'spray volume') say('rate', 'spray volume of the whole tank mix', volumeUnit, volume!);
  rates.forEach(({ product, perArea, unit }, index) => {
    const column = rateMeans === 'spray volume' ? `rate_${index + 1}` : index === 0 ? 'rate' : `rate_${index + 1}`;
    say(column, `rate of ${product}, as typed from its label`, unit, perArea);
  });
  if (rateMeans === 'product' && volume !== null && rates.length > 0)
    say('volume', 'spray volume, as set', volumeUnit, volume);
  if (rates.length > 0) columns.push({ name: 'product', means: 'what is in the tank', unit: null });

  const feature = (zone: PrescribedZone, share: number): ZoneFeature => ({
    polygon: zone.area,
    properties: {
      zone: zone.id,
      field: input.field,
      area: Number(fromSI(zone.areaM2, areaUnit).toFixed(3)),
      why: zone.why,
      ...Object.fromEntries(amounts.map(({ column, inZone }) => [column, share === 1 ? inZone : inZone * share])),
      ...(rates.length > 0 ? { product: rates.map((one) => one.product).join(' + ') } : {}),
    },
  });
  return {
    features: [
      ...zones.map((zone) => feature(zone, 1)),
      ...(outside
        ? [feature({ ...outside, id: 'outside', why: 'the field’s ground outside the zones' }, outside.fraction)]
        : []),
    ],
    columns,
    units: Object.fromEntries(columns.flatMap(({ name, unit }) => (unit === null ? [] : [[name, unit]]))),
  };
}

/** Prescriptions of several fields as one; null where one column would hold two units. */
export function joinPrescriptions(list: readonly Prescription[]): Prescription | null {
  const columns = new Map<string, PrescriptionColumn>();
  for (const column of list.flatMap((one) => one.columns)) {
    const known = columns.get(column.name);
    if (known && known.unit !== column.unit) return null;
    columns.set(
      column.name,
      known && known.means !== column.means ? { ...known, means: 'as named in product' } : column,
    );
  }
  return {
    features: list.flatMap((one) => one.features),
    columns: [...columns.values()],
    units: Object.assign({}, ...list.map((one) => one.units)) as Record<string, UnitId>,
  };
}
