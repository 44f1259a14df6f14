/** What a field's weeds take from the yield, and what becomes of their seed, each number made through its formula. */
import { speciesOf as speciesInfo } from '../agronomy/species.ts';
import type { FieldFacts } from './field-facts.ts';
import type { ByCase, Numbers } from './field-numbers.ts';
import { FORMULAS } from './formulas.ts';
import { setAsideInWords } from './steps/evidence.ts';
import type { FieldLanded } from './steps/landed.ts';
import type { FieldStudy } from './study-field.ts';

export function lossLines({
  at,
  areaM2,
  figures,
  known,
  loss,
  facts,
}: Numbers): Pick<FieldStudy, 'yieldLossFraction' | 'yieldLossKg' | 'yieldLossMoney'> {
  const yieldLossFraction = figures.range(
    `${at}/yieldLossFraction`,
    FORMULAS.yieldLossFraction,
    (which) => ({ L: { value: loss[which]?.lossFraction ?? null, from: { words: `step yield-loss, ${which} case` } } }),
    loss.central?.isOwnCurve
      ? {
          notes: [
            ...setAside(known),
            `The field’s own curve stands in for the literature’s this season, since its records meet every condition: see ${at}/ownLoss/lossFraction. Mild and harsh are the curves at the quartiles of its loss. The years ahead keep the literature’s.`,
          ],
        }
      : { behind: lossParameters(facts, loss.central?.crop ?? null), notes: setAside(known) },
  );
  const yieldLossKg = figures.range(`${at}/yieldLossKg`, FORMULAS.yieldLossKg, (which) => ({
    L: { value: loss[which]?.lossFraction ?? null, from: { path: `${at}/yieldLossFraction` } },
    Y: {
      value: loss[which]?.expectedYieldKgHa ?? null,
      from: { words: loss[which]?.expectedYieldFrom ?? 'no crop' },
    },
    A: { value: areaM2, from: { path: `${at}/areaM2` } },
  }));
  const yieldLossMoney = figures.range(`${at}/yieldLossMoney`, FORMULAS.yieldLossMoney, (which) => ({
    m: { value: loss[which]?.lossKg ?? null, from: { path: `${at}/yieldLossKg` } },
    price: { value: loss[which]?.priceKg ?? null, from: { words: `prices of ${facts.season}` } },
  }));
  return { yieldLossFraction, yieldLossKg, yieldLossMoney };
}

/** @param moved what landed and was carried also where nobody looked */
export function seedLines(
  { at, figures, known, seed, landed, facts }: Numbers,
  moved: ByCase<FieldLanded>,
): Pick<FieldStudy, 'seedsProduced' | 'seedsLandedInField' | 'carriedIn' | 'carriedOut'> {
  const seedsProduced = figures.range(
    `${at}/seedsProduced`,
    FORMULAS.seedsProduced,
    (which) =>
      seed[which]
        ? Object.fromEntries(
            seed[which].species.map((one) => [
              `N_${one.species}`,
              {
                value: one.producedSeeds,
                from: { words: `${speciesInfo(one.species).name}, sum over the field, ${which} case` },
              },
            ]),
          )
        : { N_none: { value: null, from: { words: 'nobody looked' } } },
    { behind: seedParameters(facts, seed.central?.crop ?? null), notes: setAside(known) },
  );
  const seedsLandedInField = figures.range(
    `${at}/seedsLandedInField`,
    FORMULAS.seedsLanded,
    (which) => ({
      N_header: { value: landed[which]?.ledger.headerLossSeeds ?? null, from: { words: `ledger, ${which} case` } },
      N_machine: {
        value: landed[which]?.ledger.landedByMachineSeeds ?? null,
        from: { words: `ledger, ${which} case` },
      },
    }),
    {
      behind: [
        'machine.headerLossFraction',
        'machine.grain.share',
        'machine.lodged.share',
        'machine.chaffOfThrownFraction',
      ],
    },
  );
  const carry = (name: 'carriedIn' | 'carriedOut', key: 'carriedInSeeds' | 'carriedOutSeeds') =>
    figures.range(
      `${at}/${name}`,
      FORMULAS.carried,
      (which) => ({
        N: { value: moved[which]?.[key] ?? null, from: { words: `the machine’s fields in time order, ${which} case` } },
      }),
      { behind: ['machine.lodged.share', 'machine.lodged.timeConstantS'] },
    );
  return {
    seedsProduced,
    seedsLandedInField,
    carriedIn: carry('carriedIn', 'carriedInSeeds'),
    carriedOut: carry('carriedOut', 'carriedOutSeeds'),
  };
}

/** Rounds that are not in these numbers, each once. */
function setAside({ weeds }: Numbers['known']): string[] {
  return [...new Set(weeds.flatMap((one) => one.afterHarvest.map(setAsideInWords)))];
}

function lossParameters({ species }: FieldFacts, crop: string | null): string[] {
  return crop === null
    ? []
    : species.flatMap((one) => ['I', 'A', 'C'].map((symbol) => `${one}.yieldLoss.${crop}.${symbol}`));
}

function seedParameters({ species }: FieldFacts, crop: string | null): string[] {
  return crop === null
    ? []
    : species.flatMap((one) =>
        ['perPlant', 'maxPerArea', 'lateness'].map((name) => `${one}.seedProduction.${crop}.${name}`),
      );
}
