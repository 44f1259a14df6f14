import { beforeEach, describe, expect, it } from 'vitest';
import type { Study } from '../../../shared/analysis/study.ts';
import { closeTo } from '../../support/close-to.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { hostWithFarm } from '../../support/small-farm-host.ts';

/** What a person knows better than the harvest log, on the command line. */
let host: MemoryHost;
beforeEach(() => {
  host = hostWithFarm('farm.zip');
});
const harvest = () => host.json<Study>('study', 'farm.zip').fields.find((one) => one.name === 'West')!.harvest!;

describe('settings of a log', () => {
  it('a scale total corrects the yield, and none takes it back', () => {
    const before = harvest();
    const totalKg = before.standardMassKg! * 1.2;
    expect(host.run('set', 'farm.zip', `scale-total.West=${totalKg.toFixed(3)}`).code).toBe(0);
    const after = harvest();
    expect(after.standardMassKg).not.toBe(before.standardMassKg);
    closeTo(after.meanYieldKgHa! / before.meanYieldKgHa!, after.standardMassKg! / before.standardMassKg!, {
      within: 1e-12,
      because: 'both follow the flow',
    });
    expect(host.run('set', 'farm.zip', 'scale-total.West=none said').code).toBe(0);
    expect(harvest().standardMassKg).toBe(before.standardMassKg);
  });

  it('a flow delay is taken in place of the log’s', () => {
    expect(host.run('set', 'farm.zip', 'flow-delay.West=9.5').code).toBe(0);
    expect(harvest().flowDelayS).toBe(9.5);
  });

  it('a lifted flag stays told', () => {
    const before = harvest().flagged;
    expect(host.run('set', 'farm.zip', 'lift-flag.West=ramp-start').code).toBe(0);
    expect(harvest().flagged['ramp-start']).toBe(before['ramp-start']);
    expect(host.run('set', 'farm.zip', 'lift-flag.West=-ramp-start').code).toBe(0);
    expect(harvest().flagged).toEqual(before);
  });

  it.each([
    ['scale-total.West=heavy', 'scale-total.FIELD is of the season’s harvest as weighed'],
    ['scale-total.Nowhere=54000', 'scale-total.FIELD is'],
    ['flow-delay.West=90', 'flow-delay.FIELD is seconds'],
    ['flow-delay.West=', 'flow-delay.FIELD is seconds'],
    ['lift-flag.West=duplicate-time', 'lift-flag.FIELD is a flag'],
  ])('%s is refused, and nothing is changed', (word, said) => {
    const { code, err } = host.run('set', 'farm.zip', word);
    expect(code).toBe(2);
    expect(err).toContain(said);
    expect(err).toContain('Nothing was changed.');
  });
});
