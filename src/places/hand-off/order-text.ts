/** Sentences of a hand-off that the screen and the printed order say alike. */
import { CROPS } from '../../../shared/agronomy/crops.ts';
import type { Field } from '../../../shared/model/farm.ts';
import { type Display, formatQuantity } from '../../../shared/units/format.ts';
import { twoFigures } from '../../../shared/units/rough.ts';
import type { HandOff } from '../../../shared/zones/hand-off.ts';
import { amountText } from '../../../shared/zones/label-rate.ts';

const KIND_OF_NEIGHBOR: Readonly<Record<string, string>> = {
  home: 'Home',
  'sensitive-crop': 'Sensitive crop',
  hives: 'Hives',
  water: 'Water',
  other: 'Sensitive place',
};

export function loadsInWords(order: HandOff, display: Display): string[] {
  const { loads, volumeLHa, volumeL } = order;
  if (volumeL === null || volumeLHa === null) return [];
  const volume = (liters: number) => formatQuantity(liters / 1000, 'volume', display);
  const inAll = `${volume(volumeL)} of spray at ${formatQuantity(volumeLHa, 'volume per area', display)}.`;
  if (!loads) return [inAll];
  const { count, fullL, lastL } = loads;
  const withProducts = (of: 'productPerFull' | 'productInLast') =>
    order.products.map((one) => `${amountText(one[of]!, one.amountUnit)} ${one.product}`).join(', ');
  return [
    inAll,
    ...(count > 1
      ? [
          `${count - 1} full load${count === 2 ? '' : 's'} of ${volume(fullL)}, each with ${withProducts('productPerFull')}.`,
        ]
      : []),
    `${count > 1 ? 'Last load' : 'One load'} of ${volume(lastL)} with ${withProducts('productInLast')}.`,
  ];
}

/** The longest of every product in the tank, as typed. */
export function waitsInWords({ governing, products }: HandOff, display: Display): string[] {
  const { reentryHours, preHarvestDays, bufferM, plantBackDays } = governing;
  const all = products.length > 1 ? ', the longest in the tank' : '';
  const back = Object.entries(plantBackDays).map(
    ([crop, days]) => `${CROPS.find((one) => one.id === crop)?.name ?? crop} ${days}`,
  );
  const stages = products.flatMap((one) => {
    const { latestCropStage, maxWeedHeightMm, droplet } = one.label;
    const height =
      maxWeedHeightMm === undefined
        ? []
        : [
            `weeds at most ${display === 'us' ? `${twoFigures(maxWeedHeightMm / 25.4)} in` : `${maxWeedHeightMm / 10} cm`} tall`,
          ];
    const said = [
      ...height,
      ...(latestCropStage === undefined ? [] : [`crop no later than ${latestCropStage}`]),
      ...(droplet === undefined ? [] : [`droplets ${droplet}`]),
    ];
    return said.length > 0 ? [`${one.product}, by its label as typed: ${said.join(', ')}.`] : [];
  });
  return [
    reentryHours === null
      ? 'Re-entry interval: not typed from any label; look it up.'
      : `Nobody enters for ${reentryHours} hours after spraying${all}.`,
    preHarvestDays === null
      ? 'Days before harvest: not typed from any label; look them up.'
      : `At least ${preHarvestDays} days before harvest${all}.`,
    ...(bufferM === null ? [] : [`Buffer to what is sensitive: ${formatQuantity(bufferM, 'length', display)}${all}.`]),
    ...(back.length === 0 ? [] : [`Days before planting: ${back.join(', ')}${all}.`]),
    ...stages,
  ];
}

export function exclusionsInWords({ exclusions }: Pick<Field, 'exclusions'>, display: Display): string[] {
  return exclusions.map(
    ({ kind, bufferM }) =>
      `Not sprayed: ${kind}${bufferM > 0 ? `, with ${formatQuantity(bufferM, 'length', display)} kept round it` : ''}.`,
  );
}

export function neighborsInWords({ neighbors }: HandOff, display: Display): string[] {
  return neighbors.map(({ kind, note, distanceM, direction }) => {
    const where =
      distanceM === 0 ? 'in the field' : `${formatQuantity(distanceM, 'length', display)} to the ${direction}`;
    return `${KIND_OF_NEIGHBOR[kind] ?? kind}, ${where}: ${note}`;
  });
}
