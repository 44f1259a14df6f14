/**
 * What else can be done on one field: another header, an impact mill, chaff lines; and the patches left standing or cut last. From the
 * field's own ledger: what leaves by the chaff exit, by the straw and at the cutter bar only changes places.
 */
import { parameter, resolveParameters } from '../agronomy/parameter.ts';
import { machineParameterIds, machineStreams, USUAL_HEADER_M } from '../harvest/machine-parameters.ts';
import type { Ledger } from '../harvest/ledger.ts';
import type { Farm } from '../model/farm.ts';
import { harvestOf, machineOf } from '../model/lookups.ts';
import { type Case, CASES, foldCases, type Range } from '../model/range.ts';
import { byCase, ownLedger } from './harvested-field.ts';
import type { ResultOf } from './step.ts';
import type { FieldGround } from './steps/field.ts';
import type { FieldHarvestPath } from './steps/harvest-path.ts';
import type { MovementOwn } from './steps/movement-own.ts';
import type { FieldSeedReturn } from './steps/seed-return.ts';
import type { FieldYieldLoss } from './steps/yield-loss.ts';
import type { FieldZones } from './steps/zones.ts';

export type ChoiceId = 'spread' | 'chaff-line' | 'impact-mill' | 'least header loss' | 'most header loss';

/** Shares of the field's own seed that stood on the plant in the machine's way. */
export interface ResidueChoice {
  readonly id: ChoiceId;
  readonly isNow: boolean;
  /** Back on the field's ground: at the cutter bar and by the machine. */
  readonly onGround: Range;
  readonly destroyed: Range;
  /** Of that on the ground: in lines behind the machine; none but with chaff lines. */
  readonly inLines: Range;
  /** Ground that the lines take, of the field's. */
  readonly lineGroundFraction: number | null;
}

export interface PatchChoice {
  /** Of the zones, accepted or proposed, and of the field's seed on the plant what stands in them. */
  readonly areaM2: number;
  readonly ofField: number;
  readonly ofSeed: Range;
  readonly standingSeeds: Range;
  /** The crop that would stay with it, after what the weed takes; null where no yield or no price is known. */
  readonly cropKg: number | null;
  readonly cropMoney: number | null;
}

export interface HarvestChoices {
  readonly field: string;
  readonly residue: readonly ResidueChoice[];
  readonly patches: PatchChoice | null;
}

/** Zones on more of the field than this are no patches; those that hold less of the seed than this leave it where it is. */
const MOST_OF_FIELD = 0.3;
const LEAST_OF_SEED = 0.5;

/** null where nobody looked, nothing stood, or no way of the machine is known. */
export function harvestChoices(farm: Farm, field: string, season: number, result: ResultOf): HarvestChoices | null {
  const place = { field, season };
  const own = byCase(CASES.map((which) => result<MovementOwn>('movement-own', { ...place, case: which })));
  const path = result<FieldHarvestPath>('harvest-path', place);
  if (!own || !path) return null;
  const ledgers = eachCase((which) => ownLedger(own[which]));
  if (CASES.some((which) => standingIn(ledgers[which]) <= 0)) return null;
  const machine = machineOf(farm, harvestOf(farm, field, season).machine);
  const now = machine?.residue ?? 'spread';
  const parts = eachCase((which) => partsOf(farm, ledgers[which], which, now));
  const headerWidthM = machine?.headerWidthM ?? USUAL_HEADER_M;
  const residue = CHOICES.map((id): ResidueChoice => {
    const told = eachCase((which) => outcomeOf(id, now, parts[which]));
    const range = (of: (one: Told) => number) => foldCases(eachCase((which) => of(told[which])));
    return {
      id,
      isNow: id === now,
      onGround: range((one) => one.onGround),
      destroyed: range((one) => one.destroyed),
      inLines: range((one) => one.inLines),
      lineGroundFraction: id === 'chaff-line' ? parameter('machine.chaffLine.widthM').value / headerWidthM : null,
    };
  });
  return { field, residue, patches: patchesOf(place, result) };
}

const CHOICES: readonly ChoiceId[] = ['spread', 'chaff-line', 'impact-mill', 'least header loss', 'most header loss'];

/** Shares of the seed on the plant in the machine's way. */
interface Parts {
  readonly header: number;
  /** Left by the chaff exit, before any mill; by the straw; the rest is in the tank or still aboard. */
  readonly chaff: number;
  readonly straw: number;
  /** Of what leaves the machine, on the field's ground and not beside it. */
  readonly onField: number;
  readonly kill: number;
}

function standingIn(ledger: Ledger): number {
  return ledger.producedSeeds - ledger.shedBeforeSeeds - ledger.leftStandingSeeds;
}

function partsOf(farm: Farm, ledger: Ledger, which: Case, now: 'spread' | 'chaff-line' | 'impact-mill'): Parts {
  const p = resolveParameters([...machineParameterIds()], which, farm.ownValues);
  const { streams } = machineStreams({ residue: now, headerWidthM: 1 }, p);
  const standing = standingIn(ledger);
  const thrown = ledger.landedByMachineSeeds + ledger.landedOutsideSeeds + ledger.destroyedSeeds;
  const entered = standing - ledger.headerLossSeeds;
  const straw = Math.min(thrown, entered * streams.find((one) => one.id === 'straw')!.share);
  const out = ledger.landedByMachineSeeds + ledger.landedOutsideSeeds;
  return {
    header: ledger.headerLossSeeds / standing,
    chaff: (thrown - straw) / standing,
    straw: straw / standing,
    onField: out > 0 ? ledger.landedByMachineSeeds / out : 1,
    kill: p['machine.mill.killFraction']!,
  };
}

interface Told {
  readonly onGround: number;
  readonly destroyed: number;
  readonly inLines: number;
}

function outcomeOf(id: ChoiceId, now: 'spread' | 'chaff-line' | 'impact-mill', parts: Parts): Told {
  const header = id === 'least header loss' ? HEADER.low : id === 'most header loss' ? HEADER.high : parts.header;
  const scale = (1 - header) / (1 - parts.header);
  const mills = id === 'impact-mill' || (id.endsWith('header loss') && now === 'impact-mill');
  const lines = id === 'chaff-line' || (id.endsWith('header loss') && now === 'chaff-line');
  const destroyed = mills ? parts.chaff * scale * parts.kill : 0;
  const chaff = (parts.chaff * scale - destroyed) * parts.onField;
  return {
    onGround: header + chaff + parts.straw * scale * parts.onField,
    destroyed,
    inLines: lines ? chaff : 0,
  };
}

/** The least and the most that was measured of waterhemp at the header: Iowa 2022, Missouri 2019–20. */
const HEADER = parameter('machine.headerLossFraction');

function patchesOf(place: { field: string; season: number }, result: ResultOf): PatchChoice | null {
  const ground = result<FieldGround>('field', { field: place.field });
  const zones = result<FieldZones>('zones', place);
  const seed = byCase(CASES.map((which) => result<FieldSeedReturn>('seed-return', { ...place, case: which })));
  const loss = result<FieldYieldLoss>('yield-loss', { ...place, case: 'central' });
  if (!ground || !zones || !seed || zones.zones.length === 0) return null;
  const areaM2 = zones.zones.reduce((sum, one) => sum + one.areaM2, 0);
  const cellM2 = ground.grid.cellM ** 2;
  const held = eachCase((which) => {
    let [within, all] = [0, 0];
    for (const { standingPerM2 } of seed[which].species) {
      for (let cell = 0; cell < standingPerM2.length; cell++) {
        const seeds = standingPerM2[cell]! * cellM2;
        all += seeds;
        if (zones.zoneOfCell[cell]! > 0) within += seeds;
      }
    }
    return { within, share: all > 0 ? within / all : 0 };
  });
  const ofField = areaM2 / ground.areaM2;
  if (ofField > MOST_OF_FIELD || held.central.share < LEAST_OF_SEED) return null;
  const cropKg = loss?.expectedYieldKgHa ? (loss.expectedYieldKgHa * areaM2) / 10_000 : null;
  return {
    areaM2,
    ofField,
    ofSeed: foldCases(eachCase((which) => held[which].share)),
    standingSeeds: foldCases(eachCase((which) => held[which].within)),
    cropKg,
    cropMoney: cropKg === null || !loss || loss.priceKg === null ? null : cropKg * loss.priceKg,
  };
}

function eachCase<T>(of: (which: Case) => T): Record<Case, T> {
  return { mild: of('mild'), central: of('central'), harsh: of('harsh') };
}
