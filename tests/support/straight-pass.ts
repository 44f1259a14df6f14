/**
 * Closed form of where seed lands on one straight pass at constant speed: what the simulation is checked by.
 */

/** One stream with an exit on the ground, as far as distance goes. */
export interface SpreadStream {
  /** Of the seed in question; shares add to 1. */
  readonly share: number;
  readonly delayS: number;
  readonly timeConstantS: number;
}

export interface StraightPass {
  readonly speedMS: number;
  /** Along the drive; seed stands evenly on it. */
  readonly patchLengthM: number;
  readonly cutterBarToExitM: number;
}

/**
 * Share of a stream's seed that lands at or before a place, metres of drive past the start of the patch.
 * Density (1 − e^(−s/λ))/L on the patch's own length, (e^(−(s−L)/λ) − e^(−s/λ))/L beyond; s past the start plus the
 * shift v d − L_b, λ = v τ; integrated here.
 * @source methods-season §4.4; reference cases straight-pass-…
 */
export function landedUpToFraction(stream: SpreadStream, pass: StraightPass, alongM: number): number {
  const { patchLengthM } = pass;
  const tailM = pass.speedMS * stream.timeConstantS;
  const pastM = alongM - (pass.speedMS * stream.delayS - pass.cutterBarToExitM);
  if (pastM <= 0) return 0;
  if (tailM === 0) return Math.min(1, pastM / patchLengthM);
  const integral = (m: number) => m + tailM * Math.expm1(-m / tailM);
  if (pastM <= patchLengthM) return integral(pastM) / patchLengthM;
  return 1 + (tailM / patchLengthM) * (Math.exp(-pastM / tailM) - Math.exp(-(pastM - patchLengthM) / tailM));
}

/** Share of the seed of all streams that lands further than a distance past the END of the patch. */
export function landedBeyondFraction(streams: readonly SpreadStream[], pass: StraightPass, distanceM: number): number {
  let beyond = 0;
  for (const stream of streams) {
    const tailM = pass.speedMS * stream.timeConstantS;
    const pastM = distanceM - (pass.speedMS * stream.delayS - pass.cutterBarToExitM);
    // past the shift the complement has a closed form of its own, exact however small it is
    beyond +=
      stream.share *
      (pastM >= 0 && tailM > 0
        ? (tailM / pass.patchLengthM) * -Math.expm1(-pass.patchLengthM / tailM) * Math.exp(-pastM / tailM)
        : 1 - landedUpToFraction(stream, pass, pass.patchLengthM + distanceM));
  }
  return beyond;
}

/** Mean distance from where a stream's seed stood to where it lands: v (d + τ) − L_b. */
export function meanShiftM(stream: SpreadStream, pass: StraightPass): number {
  return pass.speedMS * (stream.delayS + stream.timeConstantS) - pass.cutterBarToExitM;
}
