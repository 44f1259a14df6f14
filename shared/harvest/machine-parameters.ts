/**
 * A combine's streams from the parameters: what a machine with a spreader, a chaff line or an impact mill does with seed.
 * No study was found that measured delay or storage time of weed seed in a combine: most of these numbers are *assumed*,
 * and their range is run as mild, central and harsh.
 */
import { type ParameterId, type Values, valueOf } from '../agronomy/parameter.ts';
import { toSI } from '../units/units.ts';
import type { MachineStreams } from './machine-streams.ts';

export type Residue = 'spread' | 'chaff-line' | 'impact-mill';

/** Slices of a kernel's width that seed is laid in. */
const SLICES = 18;

const IDS: readonly ParameterId[] = [
  'machine.headerLossFraction',
  'machine.grain.share',
  'machine.lodged.share',
  'machine.chaffOfThrownFraction',
  'machine.chaff.delayS',
  'machine.straw.delayS',
  'machine.grain.delayS',
  'machine.chaff.timeConstantS',
  'machine.straw.timeConstantS',
  'machine.grain.timeConstantS',
  'machine.lodged.timeConstantS',
  'machine.cutterBarToExitM',
  'machine.chaff.widthFraction',
  'machine.straw.widthFraction',
  'machine.chaffLine.widthM',
  'machine.mill.killFraction',
];

/**
 * Delays are known to seconds at best, and most logs have a record a second: a whole number then needs no split of a record, which
 * halves the work.
 */
const wholeSeconds = (delayS: number): number => Math.round(delayS);

/** Header where no machine is described: 30 ft (common practice, no source; 15 to 50 ft), and said wherever it is used. */
export const USUAL_HEADER_M = toSI(30, 'ft');

/** What `machineStreams` reads: name these in a step. */
export function machineParameterIds(): readonly ParameterId[] {
  return IDS;
}

/**
 * Grain, lodged and what is thrown out share the seed that enters; the thrown part is split between chaff and straw.
 * The impact mill takes what leaves by the chaff exit, lodged seed included; grain and straw are out of its reach.
 * @param residue what the machine does with chaff
 * @param chaffWidthM width as the person gave it; in a chaff line, that of the line; null: from the header
 * @param values resolved `machineParameterIds()`
 */
export function machineStreams(
  {
    residue,
    headerWidthM,
    chaffWidthM = null,
    strawWidthM = null,
  }: { residue: Residue; headerWidthM: number; chaffWidthM?: number | null; strawWidthM?: number | null },
  values: Values,
): MachineStreams {
  if (!(headerWidthM > 0)) throw new Error(`machineStreams: expected a header width, got ${headerWidthM}`);
  const p = (id: ParameterId) => valueOf(values, `machine.${id}`);
  const grain = p('grain.share');
  const lodged = p('lodged.share');
  const thrown = 1 - grain - lodged;
  const chaff = thrown * p('chaffOfThrownFraction');
  const milled = residue === 'impact-mill';
  const line = residue === 'chaff-line';
  return {
    headerLossFraction: p('headerLossFraction'),
    streams: [
      {
        id: 'grain',
        share: grain,
        delayS: wholeSeconds(p('grain.delayS')),
        timeConstantS: p('grain.timeConstantS'),
        exit: 'tank',
        milled: false,
      },
      {
        id: 'chaff',
        share: chaff,
        delayS: wholeSeconds(p('chaff.delayS')),
        timeConstantS: p('chaff.timeConstantS'),
        exit: 'chaff',
        milled,
      },
      {
        id: 'straw',
        share: thrown - chaff,
        delayS: wholeSeconds(p('straw.delayS')),
        timeConstantS: p('straw.timeConstantS'),
        exit: 'straw',
        milled: false,
      },
      { id: 'lodged', share: lodged, delayS: 0, timeConstantS: p('lodged.timeConstantS'), exit: 'chaff', milled },
    ],
    millKillFraction: milled ? p('mill.killFraction') : 0,
    cutterBarToExitM: p('cutterBarToExitM'),
    kernels: {
      chaff: line
        ? { shape: 'line', widthM: chaffWidthM ?? p('chaffLine.widthM') }
        : { shape: 'uniform', widthM: chaffWidthM ?? headerWidthM * p('chaff.widthFraction') },
      straw: { shape: 'triangular', widthM: strawWidthM ?? headerWidthM * p('straw.widthFraction') },
    },
    slices: SLICES,
  };
}
