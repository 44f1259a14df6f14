import { describe, expect, it } from 'vitest';
import { resolveParameters } from '../../../shared/agronomy/parameter.ts';
import { machineParameterIds, machineStreams } from '../../../shared/harvest/machine-parameters.ts';
import type { Residue } from '../../../shared/harvest/machine-parameters.ts';
import { assertMachine } from '../../../shared/harvest/machine-streams.ts';
import { CASES } from '../../../shared/model/range.ts';
import { closeTo } from '../../support/close-to.ts';

const machine = (residue: Residue, which: (typeof CASES)[number] = 'central', widths = {}) =>
  machineStreams({ residue, headerWidthM: 10, ...widths }, resolveParameters(machineParameterIds(), which));
const share = (streams: ReturnType<typeof machine>['streams'], id: string) =>
  streams.find((one) => one.id === id)!.share;

describe('a combine from the parameters', () => {
  it('refuses a header without a width', () => {
    expect(() => machineStreams({ residue: 'spread', headerWidthM: 0 }, {})).toThrow(/header width/);
  });

  it('is a machine in every mode and case: shares add to 1', () => {
    for (const residue of ['spread', 'chaff-line', 'impact-mill'] as const)
      for (const which of CASES) expect(() => assertMachine(machine(residue, which))).not.toThrow();
  });

  it('splits the seed as the methods have it: 0.06 grain, 0.03 lodged, 0.755 chaff, 0.155 straw', () => {
    const { streams, headerLossFraction } = machine('spread');
    for (const [id, expected] of [
      ['grain', 0.06],
      ['lodged', 0.03],
      ['chaff', 0.755],
      ['straw', 0.155],
    ] as const)
      closeTo(share(streams, id), expected, { within: 5e-4, because: 'printed to three digits' });
    expect(headerLossFraction).toBe(0.22);
  });

  it('mills what leaves by the chaff exit, and nothing else', () => {
    const { streams, millKillFraction } = machine('impact-mill');
    expect(streams.filter((one) => one.milled).map((one) => one.id)).toEqual(['chaff', 'lodged']);
    expect(millKillFraction).toBe(0.92);
    expect(machine('spread').millKillFraction).toBe(0);
  });

  it('lays chaff over part of the header or in a line, and takes the person’s widths before its own', () => {
    expect(machine('spread').kernels).toEqual({
      chaff: { shape: 'uniform', widthM: 7 },
      straw: { shape: 'triangular', widthM: 9 },
    });
    expect(machine('chaff-line').kernels.chaff).toEqual({ shape: 'line', widthM: 0.4 });
    expect(machine('spread', 'central', { chaffWidthM: 2, strawWidthM: 5 }).kernels).toMatchObject({
      chaff: { widthM: 2 },
      straw: { widthM: 5 },
    });
  });

  it('carries seed farther and destroys less of it in the harsh case', () => {
    const [mild, harsh] = [machine('impact-mill', 'mild'), machine('impact-mill', 'harsh')];
    expect(harsh.millKillFraction).toBeLessThan(mild.millKillFraction);
    expect(share(harsh.streams, 'lodged')).toBeGreaterThan(share(mild.streams, 'lodged'));
    expect(harsh.streams[1]!.delayS).toBeGreaterThan(mild.streams[1]!.delayS);
  });
});
