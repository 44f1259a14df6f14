import { beforeAll, describe, expect, test } from 'vitest';
import type { SeedTrace } from '../../../shared/analysis/seed-trace.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import { applyEdit } from '../../../shared/model/edit.ts';
import { sayArrival } from '../../../shared/model/edits/machines.ts';
import { sayCleanOut } from '../../../shared/model/edits/visits.ts';
import { traceSchema } from '../../../shared/model/output/trace.ts';
import { closeTo } from '../../support/close-to.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { patches, placeIn } from '../../support/small-farm.ts';
import { documentOf, hostWithFarm } from '../../support/small-farm-host.ts';

let host: MemoryHost;
let study: Study;
beforeAll(() => {
  host = hostWithFarm('farm');
  study = host.json<Study>('study', 'farm');
}, 120_000);

type Told = Omit<SeedTrace, 'map'>;
const at = (x: number, y: number, field: 'West' | 'Middle' = 'West') => placeIn(field, x, y).join(',');
const ROUNDED = { within: 1e-9, because: 'the same sums in another order' };
const sumOf = (trace: Told, of: (part: Told['parts'][number]) => number | null) =>
  trace.parts.reduce((sum, part) => sum + (of(part) ?? 0), 0);

describe('trace --to', () => {
  test('of a whole field gives back its ledger: own seed and what rode in', () => {
    const trace = host.json<Told>('trace', 'farm', 'middle', '--to', at(60, 60, 'Middle'), '--radius', '500');
    expect(traceSchema.safeParse(trace).error?.issues ?? []).toEqual([]);
    const ledger = study.fields.find((one) => one.id === 'middle')!.ledger!.central;
    const lies = ledger.shedBeforeSeeds + ledger.headerLossSeeds + ledger.landedByMachineSeeds;
    closeTo(trace.seeds.central! / lies, 1, ROUNDED);
    closeTo(
      sumOf(trace, (one) => one.share.central),
      1,
      ROUNDED,
    );
    const carried = trace.parts.find((one) => one.id === 'carried in')!;
    expect(carried.field).toBe('west');
    expect(carried.seeds.central!).toBeGreaterThan(0);
    expect(carried.seeds.central!).toBeLessThan(ledger.carriedInSeeds);
  });

  test('a place says how near its seed grew, and what it rests on', () => {
    const { code, out } = host.run('trace', 'farm', 'west', '--to', at(60, 40), '--radius', '30ft');
    expect(code).toBe(0);
    expect(out.replaceAll('\n', ' ')).toMatch(
      /^Of the weed seed within 30 ft of the place \([^)]*\), .* grew on West within \d+ ft of it/,
    );
    expect(out.replaceAll('\n', ' ')).toContain('Nobody has measured how long weed seed stays in a combine');
    expect(out).toContain('taken to have come clean to its first field of 2026: nobody said otherwise');
  });
});

describe('trace --from', () => {
  test('of a place splits its seed whole, and tells where it rode on to', () => {
    const trace = host.json<Told>('trace', 'farm', 'west', '--from', at(60, 30), '--radius', '20');
    closeTo(
      sumOf(trace, (one) => one.share.central),
      1,
      ROUNDED,
    );
    closeTo(sumOf(trace, (one) => one.seeds.central) / trace.seeds.central!, 1, ROUNDED);
    expect(trace.fellOn.map((one) => one.field)).toEqual(['middle']);
    const within = trace.within.map((one) => one.share.central!);
    expect([...within].sort((a, b) => a - b)).toEqual(within);
  });

  test('of a patch that a file brought, by its number', () => {
    const other = hostWithFarm('patched');
    other.put('patches-2026.geojson', patches);
    expect(other.run('add', 'patched', 'patches-2026.geojson').code).toBe(0);
    const trace = other.json<Told>('trace', 'patched', 'west', '--from', 'patch:2');
    closeTo(trace.groundAreaM2, 30 * 40, { within: 200, because: 'whole cells of 5 m' });
    expect(other.run('trace', 'patched', 'west', '--from', 'patch:3').err).toContain('has 2 drawn patches in 2026');
  }, 60_000);

  test('seed that went there from here came here from there: both ways tell one number', () => {
    const [a, b] = [at(60, 30), at(60, 60)];
    const whole = host.json<Told>('trace', 'farm', 'west', '--from', a, '--radius', '500');
    const back = host.json<Told>('trace', 'farm', 'west', '--to', b, '--radius', '500');
    const own = back.parts.filter((one) => one.id.startsWith('grown'));
    const onField = whole.parts.filter((one) => ['shed before', 'header', 'landed'].includes(one.id));
    const seeds = (parts: Told['parts']) => parts.reduce((sum, one) => sum + one.seeds.central!, 0);
    closeTo(seeds(own) / seeds(onField), 1, ROUNDED);
  });
});

describe('trace --out', () => {
  test('writes its parts and distances as a table, with what they rest on', () => {
    const place = at(60, 40);
    expect(host.run('trace', 'farm', 'west', '--to', place, '--radius', '30ft', '--out', 'west.csv').code).toBe(0);
    const lines = host.text('west.csv').trimEnd().split('\r\n');
    const trace = host.json<Told>('trace', 'farm', 'west', '--to', place, '--radius', '30ft');
    expect(lines).toHaveLength(2 + trace.parts.length + trace.fellOn.length + trace.within.length);
    expect(lines[0]).toContain('Within (ft)');
    expect(lines[1]).toContain(`"within 30 ft of ${place}",where its seed came from,whole,All that lies on the ground`);
    expect(lines.every((line, index) => index === 0 || line.includes('Nobody has measured'))).toBe(true);
  });

  test('refuses another kind of file before any work', () => {
    const { code, err } = host.run('trace', 'farm', 'west', '--to', at(60, 40), '--out', 'west.xlsx');
    expect(code).toBe(2);
    expect(err).toContain('ends in .csv');
  });
});

describe('what the machine brought to the farm', () => {
  const traced = (load: Parameters<typeof sayArrival>[3], cleaned = false) => {
    const farm = documentOf(host, 'farm');
    const said = applyEdit(farm, sayArrival(farm, 2026, 'combine', load)).farm;
    const edited = cleaned
      ? applyEdit(said, sayCleanOut(said, 2026, { id: 'west', name: 'West' }, 'thorough')).farm
      : said;
    const before = host.text('farm/farm.json');
    host.put('farm/farm.json', JSON.stringify(edited));
    const trace = (field: string, place: string) =>
      host.json<Told>('trace', 'farm', field, '--to', place, '--radius', '500');
    const told = {
      west: trace('west', at(60, 60)),
      middle: trace('middle', at(60, 60, 'Middle')),
      fields: host.json<Study>('study', 'farm').fields,
    };
    host.put('farm/farm.json', before);
    return told;
  };
  const arrived = (trace: Told) => trace.parts.find((one) => one.id === 'arrived') ?? null;

  test('a number is aboard on the first field, and what is left of it on the next', () => {
    const { west, middle, fields } = traced({ seeds: { waterhemp: 1e9 } });
    const ofWest = arrived(west)!.seeds.central!;
    expect(ofWest).toBeGreaterThan(0.3e9);
    expect(ofWest).toBeLessThan(1e9);
    expect(arrived(middle)!.seeds.central!).toBeGreaterThan(0);
    expect(arrived(middle)!.seeds.central!).toBeLessThan(1e9 - ofWest);
    expect(fields.find((one) => one.id === 'west')!.carriedIn.central).toBe(1e9);
    expect(fields.find((one) => one.id === 'west')!.arrived).toEqual({ mild: 1e9, central: 1e9, harsh: 1e9 });
    closeTo(arrived(traced({ seeds: { waterhemp: 1e9 } }, true).west)!.seeds.central! / ofWest, 0.05, {
      within: 1e-9,
      because: 'a thorough clean-out before the first field takes 95 % of it',
    });
  }, 60_000);

  test('unknown is none but in the harsh case; an infested field is a range; clean is none', () => {
    const unknown = arrived(traced('unknown').west)!.seeds;
    expect(unknown).toMatchObject({ low: 0, central: 0 });
    expect(unknown.high!).toBeGreaterThan(0);
    const infested = arrived(traced({ infestedWith: ['waterhemp'] }).west)!.seeds;
    expect(infested.low!).toBeGreaterThan(0);
    expect(infested.high!).toBeGreaterThan(3 * infested.central!);
    expect(arrived(traced('clean').west)).toBeNull();
  }, 60_000);
});

describe('refuses', () => {
  test.each<[string, string[], RegExp]>([
    ['a field that is not there', ['nowhere', '--to', '0,0'], /no field "nowhere".*west, middle, east/],
    ['no way', ['west'], /one of --from GROUND and --to GROUND/],
    ['both ways', ['west', '--from', '0,0', '--to', '0,0'], /one of --from/],
    ['a place that is none', ['west', '--to', '12'], /LON,LAT in degrees, patch:N or zone:A, not "12"/],
    ['a place outside', ['west', '--to', '-93.6,42'], /does not lie on West/],
    ['a radius that is none', ['west', '--to', '-93.5,42', '--radius', '2kg'], /--radius is a length/],
    ['a patch that is not drawn', ['west', '--from', 'patch:1'], /has 0 drawn patches in 2026/],
    ['a zone that is not there', ['west', '--to', 'zone:B'], /no zone "B"; none is accepted/],
  ])('%s', (_, words, message) => {
    const { code, err } = host.run('trace', 'farm', ...words);
    expect(code).toBe(2);
    expect(err.replaceAll('\n', ' ')).toMatch(message);
  });

  test('latitude first, and says so', () => {
    const swapped = [...placeIn('West', 60, 60)].reverse().join(',');
    expect(host.run('trace', 'farm', 'west', '--to', swapped).err.replaceAll('\n', ' ')).toContain(
      'the longitude comes first',
    );
  });
});

describe('what is said of a field without a log', () => {
  const settings = (...words: string[]) => {
    const before = host.text('farm/farm.json');
    expect(host.run('set', 'farm', ...words).code).toBe(0);
    const trace = host.run('trace', 'farm', 'east', '--to', placeIn('East', 60, 60).join(','));
    const field = host.json<Study>('study', 'farm').fields.find((one) => one.id === 'east')!;
    host.put('farm/farm.json', before);
    return { said: trace.out.replaceAll('\n', ' '), field };
  };

  test('headland laps and heading change the way, and "assumed" is said of what rests on it', () => {
    const usual = settings('units=metric');
    const none = settings('headlands.east=0', 'heading.East=90');
    expect(usual.said).toContain('Assumed path: no log of East');
    expect(usual.field.harvest!.assumedPath).toBe(true);
    expect(none.field.harvest!.coveredAreaM2).not.toBe(usual.field.harvest!.coveredAreaM2);
  });

  test.each(['headlands.east=5', 'headlands.east=1.5', 'heading.east=400', 'heading.nowhere=9', 'arrival=dirty'])(
    '%s is refused and nothing is changed',
    (word) => {
      const { code, err } = host.run('set', 'farm', word);
      expect(code).toBe(2);
      expect(err).toContain('Nothing was changed');
    },
  );
});
