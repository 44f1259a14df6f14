/**
 * Arithmetic of a hand-off: volumes, tank loads, product, flow, work rate. Rates come from the label, typed by the person;
 * nothing here proposes one.
 * @source formulas: ifas2017, identity (management.json → sprayer.formulas); work rate and flow are common practice
 */

const M2_PER_HA = 10_000;

/** Spray volume of an area, L. */
export function sprayVolumeL(areaM2: number, volumeLHa: number): number {
  return (areaM2 / M2_PER_HA) * volumeLHa;
}

/** Product for an area, in the product's own unit, from its rate per hectare. */
export function productTotal(areaM2: number, ratePerHa: number): number {
  return (areaM2 / M2_PER_HA) * ratePerHa;
}

export interface TankLoads {
  readonly loads: number;
  /** Volume of every load but the last; 0 where one load is enough. */
  readonly fullL: number;
  readonly lastL: number;
}

/** A volume this much over a whole number of tanks (relative) is rounding, not another load. */
const ROUNDING = 1e-9;

/**
 * Loads = ⌈volume/tank⌉; the last load is the rest.
 * @param tankL usable volume; > 0
 */
export function tankLoads(volumeL: number, tankL: number): TankLoads {
  if (!(tankL > 0)) throw new Error(`tankLoads: expected a tank, got ${tankL} L`);
  if (!(volumeL >= 0)) throw new Error(`tankLoads: expected a volume, got ${volumeL} L`);
  if (volumeL === 0) return { loads: 0, fullL: 0, lastL: 0 };
  const loads = Math.max(1, Math.ceil((volumeL / tankL) * (1 - ROUNDING)));
  return { loads, fullL: loads > 1 ? tankL : 0, lastL: volumeL - (loads - 1) * tankL };
}

/** Product in one load: the area that the load covers × the rate. */
export function productPerLoad(loadL: number, volumeLHa: number, ratePerHa: number): number {
  return (loadL / volumeLHa) * ratePerHa;
}

/** Area that a tank covers, m². */
export function areaPerTankM2(tankL: number, volumeLHa: number): number {
  return (tankL / volumeLHa) * M2_PER_HA;
}

/** Flow of a width, L/min: L/ha × m/s × m × 0.006. For one nozzle the width is its spacing. */
export function flowLMin(volumeLHa: number, speedMS: number, widthM: number): number {
  return volumeLHa * speedMS * widthM * 0.006;
}

/** Spray volume that a flow gives, L/ha. */
export function volumeFromFlowLHa(flow: number, speedMS: number, widthM: number): number {
  return flow / (speedMS * widthM * 0.006);
}

/** Area sprayed in an hour, ha/h: 0.36 × m/s × m × field efficiency. */
export function workRateHaH(speedMS: number, boomWidthM: number, efficiencyFraction: number): number {
  return 0.36 * speedMS * boomWidthM * efficiencyFraction;
}

/** Distance that the machine travels before a command takes effect, m. */
export function lookAheadM(speedMS: number, delayS: number): number {
  return speedMS * delayS;
}

/** Flow of a fixed orifice at another pressure. @source common practice, no source */
export function flowAtPressure(flow: number, pressure: number, newPressure: number): number {
  return flow * Math.sqrt(newPressure / pressure);
}

/** Volume per field area of a band: the full-rate volume × band width over row spacing. */
export function bandVolumeLHa(volumeLHa: number, bandWidthM: number, rowSpacingM: number): number {
  return (volumeLHa * bandWidthM) / rowSpacingM;
}
