/** A hand-off as tables for a spreadsheet; each row says that the label is the law. */
import { quantityColumn, type Table, type TableColumn } from '../../../shared/export/csv.ts';
import { type Display, shownUnit } from '../../../shared/units/format.ts';
import type { HandOff, HandOffProduct } from '../../../shared/zones/hand-off.ts';

export interface OrderPlace {
  readonly field: string;
  readonly season: number;
}

const LAW = 'The product label is the law: rates as typed from it';
const five = (value: number) => Number(value.toPrecision(5));

function placeColumns<Row>(order: HandOff, { field, season }: OrderPlace): TableColumn<Row>[] {
  return [
    { title: 'Field', of: () => field },
    { title: 'Season', of: () => season },
    { title: 'Crop', of: () => order.crop },
  ];
}

function productColumns<Row>(of: (row: Row) => HandOffProduct): TableColumn<Row>[] {
  return [
    { title: 'Product', of: (row) => of(row).product },
    {
      title: 'Ingredients',
      of: (row) =>
        of(row)
          .ingredients.map((one) => `${one.ingredient} (group ${one.group})`)
          .join(', '),
    },
  ];
}

interface ZoneLine {
  readonly zone: string;
  readonly areaM2: number;
  readonly product: HandOffProduct;
  /** Share of the zones' rate. */
  readonly fraction: number;
  readonly amount: number;
}

/** A row for each zone and product, and for the ground outside where something goes there. */
export function zonesTable(order: HandOff, place: OrderPlace, display: Display): Table<ZoneLine> {
  const { outside } = order;
  return {
    columns: [
      ...placeColumns<ZoneLine>(order, place),
      { title: 'Zone', of: (row) => row.zone },
      quantityColumn<ZoneLine>('Area', shownUnit('area', display), (row) => row.areaM2),
      ...productColumns<ZoneLine>((row) => row.product),
      { title: 'Rate', of: (row) => five(row.product.ratePerArea * row.fraction) },
      { title: 'Unit of the rate', of: (row) => row.product.unit },
      { title: 'Amount', of: (row) => five(row.amount) },
      { title: 'Unit of the amount', of: (row) => row.product.amountUnit },
      { title: 'Caution', of: () => LAW },
    ],
    rows: order.products.flatMap((product): ZoneLine[] => [
      ...product.zones.map(({ id, areaM2, product: amount }) => ({ zone: id, areaM2, product, fraction: 1, amount })),
      ...(outside.fraction > 0 && outside.areaM2 > 0
        ? [{ ...outside, zone: 'outside', product, amount: product.outsideProduct }]
        : []),
    ]),
  };
}

/** A row for each product of the tank: rate, total, and what goes into each load. */
export function orderTable(order: HandOff, place: OrderPlace, display: Display): Table<HandOffProduct> {
  const volume = shownUnit('volume', display);
  const cubic = (liters: number | null) => (liters === null ? null : liters / 1000);
  const loads = order.loads;
  return {
    columns: [
      ...placeColumns<HandOffProduct>(order, place),
      ...productColumns<HandOffProduct>((row) => row),
      { title: 'Rate', of: (row) => five(row.ratePerArea) },
      { title: 'Unit of the rate', of: (row) => row.unit },
      quantityColumn<HandOffProduct>('Share of the full label rate', '%', (row) => row.rateFraction),
      quantityColumn<HandOffProduct>('Area', shownUnit('area', display), () => order.areaM2),
      { title: 'In all', of: (row) => five(row.productTotal) },
      { title: 'In a full load', of: (row) => (loads && loads.count > 1 ? five(row.productPerFull!) : null) },
      { title: 'In the last load', of: (row) => (loads ? five(row.productInLast!) : null) },
      { title: 'Unit of the amounts', of: (row) => row.amountUnit },
      quantityColumn<HandOffProduct>('Spray in all', volume, () => cubic(order.volumeL)),
      { title: 'Tank loads', of: () => loads?.count ?? null },
      quantityColumn<HandOffProduct>('Last load', volume, () => cubic(loads?.lastL ?? null)),
      { title: 'Caution', of: () => LAW },
    ],
    rows: order.products,
  };
}
