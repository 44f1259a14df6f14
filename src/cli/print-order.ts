/** A work order on a terminal. */
import type { Farm } from '../../shared/model/farm.ts';
import { formatQuantity } from '../../shared/units/format.ts';
import type { HandOff, HandOffProduct } from '../../shared/zones/hand-off.ts';
import { amountText } from '../../shared/zones/label-rate.ts';
import { outsideInWords, positionLostInWords } from '../../shared/zones/order-words.ts';
import type { Host } from './host.ts';
import { paragraph, table } from './print.ts';

export function printOrder(host: Host, order: HandOff, farm: Farm, season: number): void {
  const { display } = farm;
  const area = (value: number) => formatQuantity(value, 'area', display);
  const volume = (value: number) => formatQuantity(value / 1000, 'volume', display);
  host.out(`Work order: ${order.field}, ${season}${farm.invented ? ' (an invented farm)' : ''}\n`);
  for (const one of order.products) printProduct(host, one);
  host.out('\n');
  const amount = (one: HandOffProduct, value: number) => amountText(value, one.amountUnit);
  host.out(
    table(
      [
        { title: 'zone' },
        { title: 'area', right: true },
        ...order.products.map((one) => ({ title: one.product, right: true })),
      ],
      [
        ...order.zones.map((zone, index) => [
          zone.id,
          area(zone.areaM2),
          ...order.products.map((one) => amount(one, one.zones[index]!.product)),
        ]),
        ...(order.outside.fraction > 0 && order.outside.areaM2 > 0
          ? [['outside', area(order.outside.areaM2), ...order.products.map((one) => amount(one, one.outsideProduct))]]
          : []),
        ['in all', area(order.areaM2), ...order.products.map((one) => amount(one, one.productTotal))],
      ],
    ),
  );
  if (order.volumeL !== null) host.out(`  spray volume ${volume(order.volumeL)}\n`);
  if (order.loads) {
    const { count, fullL, lastL } = order.loads;
    const each = (of: (one: HandOffProduct) => number | null) =>
      order.products.map((one) => amount(one, of(one)!)).join(' and ');
    const full =
      count > 1 ? `${count - 1} of ${volume(fullL)} with ${each((one) => one.productPerFull)}, the last` : 'one';
    host.out(`  tank loads: ${full} of ${volume(lastL)} with ${each((one) => one.productInLast)}\n`);
  }
  host.out(paragraph(`  ${outsideInWords(order)} ${positionLostInWords(order)}`, '    '));
  if (order.alongEdge && order.zones.length > 0) {
    const { sectionM, overM, missedM } = order.alongEdge;
    const length = (value: number) => formatQuantity(value, 'length', display);
    host.out(
      paragraph(
        `  along an edge, sections of ${length(sectionM)} switched at their middle treat ${length(overM)} too far and miss ${length(missedM)}, on average`,
        '    ',
      ),
    );
  }
  for (const one of order.neighbors) {
    const away =
      one.distanceM === 0
        ? 'in the field'
        : `${formatQuantity(one.distanceM, 'length', display)} to the ${one.direction}`;
    host.out(paragraph(`  near (${one.kind}, ${away}): ${one.note}`, '    '));
  }
  host.out('\n');
  for (const caution of order.cautions) host.out(paragraph(`  ! ${caution.text}`, '    '));
}

function printProduct(host: Host, one: HandOffProduct): void {
  host.out(`  ${one.product} (${one.ingredients.map((it) => `${it.ingredient}, group ${it.group}`).join('; ')})\n`);
  host.out(
    `  ${one.ratePerArea} ${one.unit}, as typed from the label: ${Math.round(100 * one.rateFraction)}% of the full rate typed\n`,
  );
}
