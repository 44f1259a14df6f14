/**
 * Exact solution of dM/dt = i − M/τ over h with constant inflow i: out = M g + i (h − τ g), M ← M (1 − g) + i τ g.
 * Without a store (τ = 0) all leaves at once.
 * @source methods-season §4.2
 */
export class StoreStep {
  /** g = 1 − e^(−h/τ): share of the store that leaves in a step. */
  leavingFraction = 1;
  /** τ g / h: share of what arrives in a step that is still there at its end. */
  stayingFraction = 0;
  private stepS = NaN;

  constructor(private readonly timeConstantS: number) {}

  set(stepS: number): void {
    if (this.timeConstantS === 0 || this.stepS === stepS) return;
    this.stepS = stepS;
    this.leavingFraction = -Math.expm1(-stepS / this.timeConstantS);
    this.stayingFraction = (this.timeConstantS * this.leavingFraction) / stepS;
  }
}
