import { expect, it } from 'vitest';
import { bothChains, mustRunOn } from '../../../../shared/statistics/latent/both-chains.ts';
import type { ChainResult } from '../../../../shared/statistics/latent/chain.ts';
import { latentChain } from '../../../../shared/statistics/latent/chain.ts';
import { joinChains } from '../../../../shared/statistics/latent/posterior.ts';
import { cellsOfField, patchyCounts } from '../../../support/latent-field.ts';
import { run } from '../../../support/run.ts';

const input = { places: patchyCounts(30), cells: cellsOfField(50) };
const areaM2 = new Float64Array(input.cells.xM.length).fill(2500);
const chain = (number: number, options: { burnIn: number; sweeps: number; from?: ChainResult }) =>
  run(latentChain(input, { seed: 1, chain: number, ...options }));

it('one after the other are what two threads make, run on where they disagree', () => {
  let ranOn = 0;
  for (const sweeps of [5, 10, 300]) {
    const options = { burnIn: 10, sweeps };
    let chains: [ChainResult, ChainResult] = [chain(0, options), chain(1, options)];
    if (mustRunOn(chains, input, 1, areaM2)) {
      chains = [chain(0, { ...options, from: chains[0] }), chain(1, { ...options, from: chains[1] })];
      expect(mustRunOn(chains, input, 1, areaM2), 'once only').toBe(false);
      ranOn++;
    }
    expect(run(bothChains(input, 1, areaM2, { seed: 1, ...options }))).toEqual(joinChains(...chains));
  }
  expect(ranOn, 'chains of one sweep disagree, long ones do not').toBeGreaterThan(0);
  expect(ranOn).toBeLessThan(3);
});

it('tell how far they are, never backward, and can be ended', () => {
  const steps = bothChains(input, 1, areaM2, { seed: 1, burnIn: 20, sweeps: 300 });
  const told: number[] = [];
  for (let step = steps.next(); !step.done; step = steps.next()) {
    expect(step.value[0]).toBeLessThan(step.value[1]);
    told.push(step.value[0]);
  }
  expect(told[0]).toBe(0);
  expect(told).toEqual([...told].sort((a, b) => a - b));
  const ended = bothChains(input, 1, areaM2, { seed: 1 });
  ended.next();
  ended.return(undefined as never);
  expect(ended.next().done).toBe(true);
});
