import { describe, expect, it } from 'vitest';
import { type FlowBranch, type FlowPart, layOutFlow, THINNEST_PX } from '../../../src/charts/flow-layout.ts';

const sheet = { widthPx: 300, streamPx: 100, labelPx: 30, gapPx: 6, stages: 3 };
const produced: FlowPart = { id: 'produced', words: 'produced', amount: 900 };
const carried: FlowPart = { id: 'carried', words: 'carried in', amount: 100 };
const branch = (id: string, amount: number, stage: number): FlowBranch => ({ id, words: id, amount, stage });
const branches = [branch('shed', 300, 0), branch('header', 200, 1), branch('landed', 499, 2), branch('rides on', 1, 2)];

describe('a stream that splits', () => {
  const layout = layOutFlow([carried, produced], branches, sheet);

  it('is as thick as the amounts, on one scale for sources and branches', () => {
    expect(layout.pxPerUnit).toBe(0.1);
    expect(layout.sources.map(({ thickness }) => thickness)).toEqual([10, 90]);
    expect(layout.branches.map(({ ribbon }) => ribbon.thickness)).toEqual([30, 20, expect.closeTo(49.9)]);
  });

  it('fills the stream: branches lie on each other without gap or overlap, the first to leave at the bottom', () => {
    const tops = layout.branches.map(({ ribbon }) => ribbon.top);
    expect(tops).toEqual([expect.closeTo(70), expect.closeTo(50), expect.closeTo(0.1)]);
    expect(layout.branches[0]!.ribbon.top + layout.branches[0]!.ribbon.thickness).toBeCloseTo(100);
  });

  it('never scales a thin branch up: it is told instead', () => {
    expect(layout.branches.map(({ id }) => id)).not.toContain('rides on');
    expect(layout.tooThin.map(({ id }) => id)).toEqual(['rides on']);
    for (const { ribbon } of layout.branches) expect(ribbon.thickness).toBeGreaterThanOrEqual(THINNEST_PX);
  });

  it('bends downward only, crosses nothing, and leaves room for every label', () => {
    const ends = layout.branches.map(({ ribbon }) => ribbon).sort((a, b) => a.endTop - b.endTop);
    for (const ribbon of ends) expect(ribbon.endTop).toBeGreaterThanOrEqual(ribbon.top);
    for (let k = 1; k < ends.length; k++) {
      expect(ends[k]!.endTop).toBeGreaterThanOrEqual(ends[k - 1]!.endTop + ends[k - 1]!.thickness);
    }
    const labels = layout.branches.map(({ labelY }) => labelY).sort((a, b) => a - b);
    for (let k = 1; k < labels.length; k++) expect(labels[k]! - labels[k - 1]!).toBeGreaterThanOrEqual(sheet.labelPx);
    expect(layout.heightPx).toBeGreaterThanOrEqual(Math.max(...ends.map((one) => one.endTop + one.thickness)));
  });

  it('leaves later stages further on', () => {
    const [first, second, third] = layout.stageX;
    expect(first!).toBeLessThan(second!);
    expect(second!).toBeLessThan(third!);
    expect(third!).toBeLessThan(sheet.widthPx);
  });

  it('refuses a stream that loses or gains on its way', () => {
    expect(() => layOutFlow([produced], branches, sheet)).toThrow(/900 enters and 1000 leaves/);
  });

  it('of nothing draws nothing', () => {
    const none = layOutFlow([{ ...produced, amount: 0 }], [branch('shed', 0, 0)], sheet);
    expect(none).toMatchObject({ branches: [], tooThin: [], total: 0, pxPerUnit: 0 });
  });
});
