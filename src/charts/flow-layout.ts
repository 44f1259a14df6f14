/**
 * A stream that splits in proportion: thickness is the amount, on one scale throughout. Branches leave in the order in which they leave
 * the stream, the first at the bottom, so that none crosses another. What is too thin to be seen is not drawn: it is told.
 */
import type { Ribbon } from './shapes.ts';

export interface FlowPart {
  readonly id: string;
  readonly words: string;
  readonly amount: number;
}
export interface FlowBranch extends FlowPart {
  /** Where it leaves, 0 to stages − 1. */
  readonly stage: number;
  /** Drawn paler. */
  readonly faint?: boolean;
}

export interface DrawnBranch extends FlowBranch {
  readonly ribbon: Ribbon;
  /** Middle of the label, beside the end. */
  readonly labelY: number;
}

export interface FlowLayout {
  readonly heightPx: number;
  readonly pxPerUnit: number;
  readonly sources: readonly (FlowPart & { readonly top: number; readonly thickness: number })[];
  readonly branches: readonly DrawnBranch[];
  /** Amounts above 0 without a branch that can be seen. */
  readonly tooThin: readonly FlowPart[];
  /** x of each stage. */
  readonly stageX: readonly number[];
  readonly total: number;
}

export interface FlowSheet {
  /** Of the stream and its branches, labels not included. */
  readonly widthPx: number;
  /** Of the whole stream at its beginning. */
  readonly streamPx: number;
  /** Room that a label needs. */
  readonly labelPx: number;
  readonly gapPx: number;
  readonly stages: number;
}

/** Thinner than this cannot be told from nothing, px. */
export const THINNEST_PX = 0.75;
/** Share of the width in which a branch bends to its end. */
const BEND_FRACTION = 0.32;

/**
 * @param sources from the top; the amounts of sources and branches are equal in sum, or something was lost
 * @param branches in the order in which they leave; the last is at the top
 * @throws where the sums differ by more than a millionth
 */
export function layOutFlow(
  sources: readonly FlowPart[],
  branches: readonly FlowBranch[],
  { widthPx, streamPx, labelPx, gapPx, stages }: FlowSheet,
): FlowLayout {
  const total = sumOf(sources);
  if (Math.abs(total - sumOf(branches)) > 1e-6 * Math.max(total, 1)) {
    throw new Error(`layOutFlow: ${total} enters and ${sumOf(branches)} leaves`);
  }
  const pxPerUnit = total > 0 ? streamPx / total : 0;
  const stageX = Array.from({ length: stages }, (_, stage) => ((stage + 0.6) / stages) * widthPx * (1 - BEND_FRACTION));
  const drawn: DrawnBranch[] = [];
  let top = 0;
  let endTop = 0;
  for (const branch of [...branches].reverse()) {
    const thickness = branch.amount * pxPerUnit;
    if (thickness >= THINNEST_PX) {
      const slot = Math.max(thickness, labelPx);
      const y = endTop + (slot - thickness) / 2;
      // Never upward: a branch that has room at its height stays there.
      const end = Math.max(top, y);
      const x1 = stageX[branch.stage]!;
      drawn.push({
        ...branch,
        ribbon: { x0: 0, x1, x2: widthPx, top, endTop: end, thickness },
        labelY: end + thickness / 2,
      });
      endTop = Math.max(endTop + slot, end + thickness + (slot - thickness) / 2) + gapPx;
    }
    top += thickness;
  }
  let sourceTop = 0;
  const placed = sources.map((one) => {
    const at = { ...one, top: sourceTop, thickness: one.amount * pxPerUnit };
    sourceTop += at.thickness;
    return at;
  });
  const isThin = (one: FlowPart) => one.amount > 0 && one.amount * pxPerUnit < THINNEST_PX;
  return {
    heightPx: Math.max(streamPx, endTop - gapPx),
    pxPerUnit,
    sources: placed,
    branches: drawn.reverse(),
    tooThin: [...sources, ...branches].filter(isThin),
    stageX,
    total,
  };
}

function sumOf(parts: readonly FlowPart[]): number {
  return parts.reduce((sum, one) => sum + one.amount, 0);
}
