import { describe, expect, it } from 'vitest';
import { SharedWork } from '../../../shared/analysis/shared-work.ts';

function counted(steps: number, fail = false) {
  const log: string[] = [];
  const begin = function* () {
    log.push('begun');
    try {
      for (let step = 1; step <= steps; step++) {
        yield step;
        log.push(`step ${step}`);
      }
      if (fail) throw new Error('no good');
      log.push('ended');
      return 'result';
    } finally {
      log.push('over');
    }
  };
  return { log, begin };
}

describe('work that two ask for', () => {
  it('is done once, by turns of either, and both get its result', () => {
    const shared = new SharedWork<number, string>();
    const { log, begin } = counted(3);
    const [one, other] = [shared.drive('key', begin), shared.drive('key', begin)];
    expect([one.next(), other.next(), one.next()].map((turn) => turn.value)).toEqual([1, 2, 3]);
    expect(other.next()).toEqual({ done: true, value: 'result' });
    expect(one.next()).toEqual({ done: true, value: 'result' });
    expect(log).toEqual(['begun', 'step 1', 'step 2', 'step 3', 'ended', 'over']);
  });

  it('goes on for the other where one gives up, and ends with the last', () => {
    const shared = new SharedWork<number, string>();
    const { log, begin } = counted(2);
    const [one, other] = [shared.drive('key', begin), shared.drive('key', begin)];
    one.next();
    other.next();
    one.return('');
    expect(log).toEqual(['begun', 'step 1']);
    other.return('');
    expect(log).toEqual(['begun', 'step 1', 'over']);
    shared.drive('key', begin).next();
    expect(log.filter((line) => line === 'begun')).toHaveLength(2);
  });

  it('fails for both', () => {
    const shared = new SharedWork<number, string>();
    const { begin } = counted(1, true);
    const [one, other] = [shared.drive('key', begin), shared.drive('key', begin)];
    one.next();
    expect(() => other.next()).toThrow('no good');
    expect(() => one.next()).toThrow('no good');
  });
});
