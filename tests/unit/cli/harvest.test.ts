import { beforeAll, describe, expect, test } from 'vitest';
import type { HarvestChoices } from '../../../shared/analysis/harvest-choices.ts';
import type { HarvestPlan } from '../../../shared/analysis/harvest-plan.ts';
import type { Working } from '../../../shared/analysis/working.ts';
import { harvestSchema } from '../../../shared/model/output/harvest.ts';
import type { Range } from '../../../shared/model/range.ts';
import type { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, furnish, hostWithFarm } from '../../support/small-farm-host.ts';

type Printed = HarvestPlan & { readonly choices: HarvestChoices | null };

let whole: MemoryHost;
beforeAll(() => {
  whole = hostWithFarm('farm');
  furnish(whole, 'farm');
  // Results are kept beside the farm: the tests after this one read them.
  whole.run('harvest', 'farm');
}, 120_000);

/** The farm before any field was cut; further settings. */
function uncut(...settings: string[]): MemoryHost {
  const host = whole.copy();
  const { code, err } = host.run('set', 'farm', 'cut.west=no', 'cut.middle=no', ...settings);
  if (code !== 0) throw new Error(err);
  return host;
}
const plan = (host: MemoryHost, ...words: string[]) => host.json<Printed>('harvest', 'farm', ...words);
const order = (printed: Printed) => printed.machines[0]!.fields.map((one) => one.field);

describe('the order of harvest', () => {
  test('is printed as its schema says, with a field’s alternatives where one is asked for', () => {
    const host = uncut('machine-hour=400', 'clean-out.limited=25');
    for (const words of [[], ['--field', 'west'], ['--by', 'cost']])
      expect(harvestSchema.safeParse(plan(host, ...words)).error?.issues ?? []).toEqual([]);
  });

  test('takes a log for a cut field, and begins with what the machine then carries', () => {
    const [machine] = plan(whole).machines;
    expect(machine!.cut.map((one) => one.field)).toEqual(['west', 'middle']);
    expect(machine!.fields.map((one) => [one.field, one.is])).toEqual([['east', 'not looked']]);
    expect(machine!.aboard.central).toBeGreaterThan(0);
    expect(machine!.fields[0]!.ridesIn).toEqual(machine!.aboard);
  });

  test('puts the worst field last, and what nobody looked at between clean and infested', () => {
    const printed = plan(uncut());
    const classes = printed.machines[0]!.fields.map((one) => one.is);
    expect(classes.indexOf('not looked')).toBeLessThan(classes.indexOf('heavily infested'));
    expect(order(printed).at(-1)).toBe('west');
  });

  test('never brings a field before one that is ripe earlier, and then wants a clean-out where it goes from worse to cleaner', () => {
    const ripe = uncut('ripe.west=2026-10-01', 'ripe.middle=2026-10-09', 'ripe.east=2026-10-12');
    const printed = plan(ripe);
    expect(order(printed)).toEqual(['west', 'middle', 'east']);
    const middle = printed.machines[0]!.fields[1]!;
    expect(middle.fromWorse).toBe(printed.machines[0]!.fields[0]!.is !== middle.is);
    for (const by of ['class', 'cost']) expect(order(plan(ripe, '--by', by))).toEqual(['west', 'middle', 'east']);
    expect(ripe.run('harvest', 'farm').out).toMatch(/1 +West \(.*ripe from 2026-10-01/);
  });

  test('says minutes before money once an hour is typed: what it saves over what the hour costs', () => {
    const ripe = ['ripe.west=2026-10-01', 'ripe.middle=2026-10-09', 'ripe.east=2026-10-12'];
    const without = plan(uncut(...ripe)).machines[0]!.fields[1]!.stops[1]!;
    expect(without.breakEvenMin.central).toBeNull();
    expect(without.money.central).toBeGreaterThan(0);
    const typed = plan(uncut(...ripe, 'machine-hour=300', 'clean-out.thorough=240')).machines[0]!.fields[1]!;
    const [limited, thorough] = typed.stops;
    expect(thorough!.breakEvenMin.central! * 300).toBeCloseTo(60 * thorough!.money.central!, 6);
    expect(thorough!.seeds.central!).toBeGreaterThan(limited!.seeds.central!);
    expect(limited!.verdict).toBeNull();
    const cost = 240 * (300 / 60);
    const { low, high } = thorough!.money;
    expect(thorough!.verdict).toBe(low! > cost ? 'pays' : high! < cost ? 'does not pay' : 'may pay');
  });

  test('plans a stop that costs next to nothing, and takes seed out there', () => {
    const ripe = ['ripe.west=2026-10-01', 'ripe.middle=2026-10-09', 'ripe.east=2026-10-12'];
    const cheap = plan(uncut(...ripe, 'machine-hour=0.001', 'clean-out.thorough=1'));
    const middle = cheap.machines[0]!.fields[1]!;
    expect(middle.cleanOut).toBe('thorough');
    expect(middle.cleanOutSaid).toBe(false);
    expect(middle.takenOut.central! / middle.ridesIn.central!).toBeCloseTo(0.95, 12);
    const plain = plan(uncut(...ripe)).machines[0]!.fields[1]!;
    expect(plain.cleanOut).toBeNull();
    expect(middle.falls.central!).toBeCloseTo(0.05 * plain.falls.central!, 6);
  });

  test('keeps the clean-out that a person decided, and says whose word it is', () => {
    const host = uncut('cleaned.middle=limited');
    const middle = plan(host).machines[0]!.fields.find((one) => one.field === 'middle')!;
    expect([middle.cleanOut, middle.cleanOutSaid]).toEqual(['limited', true]);
    expect(host.run('harvest', 'farm').out).toContain('limited (as you said)');
  });

  test('takes the straight line, or the way as typed, and counts it once the speed is known', () => {
    const host = uncut('ripe.west=2026-10-01', 'ripe.middle=2026-10-09', 'ripe.east=2026-10-12');
    const straight = plan(host).machines[0]!.fields[1]!.way!;
    expect(straight.isTyped).toBe(false);
    expect(straight.distanceM).toBeCloseTo(160, -1);
    host.run('set', 'farm', 'road.west,middle=2mi', 'road-speed=15mph', 'machine-hour=300');
    const typed = plan(host);
    expect(typed.machines[0]!.fields[1]!.way).toEqual({ distanceM: 2 * 1609.344, isTyped: true });
    const hours = (2 * 1609.344 + typed.machines[0]!.fields[2]!.way!.distanceM) / 1609.344 / 15;
    expect(typed.machines[0]!.costs!.travel).toBeCloseTo(300 * hours, 6);
  });

  test('where prices are missing, class decides, and says why', () => {
    const host = uncut();
    const bare = documentOf(host, 'farm');
    const seasons = bare.seasons.map((one) => ({ ...one, prices: {} }));
    host.put('farm/farm.json', JSON.stringify({ ...bare, seasons }));
    const [machine] = plan(host, '--by', 'cost').machines;
    expect(machine!.by).toBe('class');
    expect(machine!.whyNotMoney).toMatch(/price/);
    expect(machine!.costs).toBeNull();
    expect(machine!.fields.at(-1)!.field).toBe('west');
  });

  test('looks back once all is cut: the order as it was beside the one that would have been better', () => {
    const host = whole.copy();
    host.run('set', 'farm', 'cut.east=yes');
    const document = documentOf(host, 'farm');
    const seasons = document.seasons.map((season) => ({
      ...season,
      visits: season.visits.map((one) => (one.field === 'east' ? { ...one, startedOn: '2026-10-08' } : one)),
    }));
    host.put('farm/farm.json', JSON.stringify({ ...document, seasons }));
    const [machine] = plan(host).machines;
    expect(machine!.looks).toBe('back');
    expect(machine!.asCut!.fields).toEqual(['west', 'middle', 'east']);
    expect(machine!.falls.central!).toBeLessThan(machine!.asCut!.falls.central!);
  });

  test('two combines each have a list of their own', () => {
    const host = uncut();
    const document = documentOf(host, 'farm');
    const seasons = document.seasons.map((season) => ({
      ...season,
      visits: season.visits.map((one) => (one.field === 'west' ? { ...one, machine: 'second' } : one)),
    }));
    const machines = [...document.machines, { id: 'second', kind: 'combine', name: 'Second' }];
    host.put('farm/farm.json', JSON.stringify({ ...document, machines, seasons }));
    const lists = plan(host).machines.map((one) => [one.machine, one.fields.map((it) => it.field).sort()]);
    expect(lists).toEqual([
      ['second', ['west']],
      ['combine', ['east', 'middle']],
    ]);
  });

  test('a machine that comes from elsewhere is to be cleaned before its first field, and rides in with what it may bring', () => {
    const host = uncut('arrival=unknown');
    const [machine] = plan(host).machines;
    expect(machine!.arrivesDirty).toBe(true);
    expect(machine!.aboard.high!).toBeGreaterThan(0);
    expect(machine!.fields[0]!.ridesIn).toEqual(machine!.aboard);
    expect(host.run('harvest', 'farm').out).toMatch(/comes from elsewhere with seed aboard/);
    // Once a field is cut it is one machine among others.
    host.run('set', 'farm', 'cut.east=yes');
    expect(plan(host).machines[0]!.arrivesDirty).toBe(false);
  });
});

describe('the working of the order’s numbers', () => {
  const ripe = ['ripe.west=2026-10-01', 'ripe.middle=2026-10-09', 'ripe.east=2026-10-12'];
  const host = () => uncut(...ripe, 'machine-hour=300', 'clean-out.thorough=240', 'cleaned.east=limited');
  const of = (farm: MemoryHost, path: string, ...words: string[]) =>
    farm.json<Working>('working', 'farm', path, ...words);

  test('opens by the paths that the list names, and is the same number', () => {
    const farm = host();
    const [machine] = plan(farm).machines;
    const [, middle, east] = machine!.fields;
    expect(machine!.path).toBe('harvest/combine');
    const numbers: [string, Range][] = [
      [`${machine!.path}/aboard`, machine!.aboard],
      [`${machine!.path}/falls`, machine!.falls],
      [`${machine!.path}/costs/seed`, machine!.costs!.seed],
      [`${middle!.path}/ridesIn`, middle!.ridesIn],
      [`${middle!.path}/falls`, middle!.falls],
      [`${middle!.path}/ownAboard`, middle!.ownAboard],
      [`${east!.path}/takenOut`, east!.takenOut],
      ...middle!.stops.flatMap((stop): [string, Range][] => [
        [`${stop.path}/seeds`, stop.seeds],
        [`${stop.path}/money`, stop.money],
        [`${stop.path}/breakEvenMin`, stop.breakEvenMin],
      ]),
    ];
    for (const [path, range] of numbers) expect(of(farm, path).range, path).toEqual(range);
    expect(of(farm, `${machine!.path}/cost`).range.central).toBeCloseTo(machine!.cost!, 9);
    expect(of(farm, `${machine!.path}/bound`).range.central).toBe(machine!.bound);
  });

  test('goes down to what the field before left aboard, and is printed', () => {
    const farm = host();
    const { inputs } = of(farm, 'harvest/combine/middle/ridesIn');
    expect(inputs.find((one) => one.symbol === 'b')!.working!.path).toBe('harvest/combine/west/ownAboard');
    const { out, code } = farm.run('working', 'farm', 'harvest/combine/middle/thorough/breakEvenMin');
    expect(code).toBe(0);
    expect(out).toContain('time that a clean-out may take and still pay');
    expect(out).toContain('cost of an hour of harvest, as typed; typed');
  });

  test('is of whatever costs least where that is asked for', () => {
    const farm = uncut();
    const { cost } = plan(farm, '--by', 'cost').machines[0]!;
    expect(of(farm, 'harvest/combine/cost', '--by', 'cost').range.central).toBeCloseTo(cost!, 9);
  });

  test('names the nearest paths where there is none, and refuses another order', () => {
    const { code, err } = uncut().run('working', 'farm', 'harvest/combine/west/falls-down');
    expect(code).toBe(2);
    expect(err).toMatch(/There is no number at harvest\/combine\/west\/falls-down/);
    expect(uncut().run('working', 'farm', 'harvest/combine', '--by', 'luck').err).toMatch(/class or cost/);
    expect(uncut().run('working', 'farm', 'harvest/combine/').err).toMatch(/Near it: harvest\/combine\/aboard/);
  });
});

describe('a field that nobody looked at', () => {
  test('is told as unknown, with where it stands and why, and what it leaves aboard is in no number', () => {
    const host = uncut();
    const { fields } = plan(host).machines[0]!;
    const east = fields.find((one) => one.field === 'east')!;
    expect(east.is).toBe('not looked');
    expect(east.ownAboard.central).toBeNull();
    const after = fields[fields.indexOf(east) + 1]!;
    expect(after.afterUnlooked).toEqual([{ field: 'east', name: 'East' }]);
    const { out } = host.run('harvest', 'farm');
    const text = out.replace(/\s+/g, ' ');
    expect(text).toContain('Nobody looked at East: not clean, but unknown.');
    expect(text).toContain('what East left aboard, where nobody looked');
    expect(text).not.toContain('East (soybean): clean');
  });

  test('wants a clean-out behind it where a field that is clean comes next', () => {
    const host = uncut('ripe.east=2026-10-01', 'ripe.middle=2026-10-09', 'ripe.west=2026-10-12');
    const document = documentOf(host, 'farm');
    const cleaned = document.rounds.map((one) => ({
      ...one,
      files: [],
      typed: [],
      patches: [],
      ratings: [{ field: 'middle', species: 'waterhemp', rating: 'none seen' as const }],
    }));
    host.put('farm/farm.json', JSON.stringify({ ...document, rounds: cleaned }));
    const [first, second] = plan(host).machines[0]!.fields;
    expect([first!.field, first!.is]).toEqual(['east', 'not looked']);
    expect([second!.field, second!.is, second!.isAfterUnlooked, second!.fromWorse]).toEqual([
      'middle',
      'clean',
      true,
      true,
    ]);
    expect(host.run('harvest', 'farm').out).toMatch(/clean the combine out before Middle/);
  });
});

describe('alternatives for a field', () => {
  const choices = () => plan(uncut(), '--field', 'west').choices!;
  const of = (id: string) => choices().residue.find((one) => one.id === id)!;

  test('an impact mill leaves less on the ground, by what it destroys; lines leave as much, on little ground', () => {
    const [spread, mill, line] = [of('spread'), of('impact-mill'), of('chaff-line')];
    expect(spread.isNow).toBe(true);
    expect(spread.destroyed.high).toBe(0);
    // What it destroys would have lain on the field, or beside it.
    const kept = mill.destroyed.central! + mill.onGround.central!;
    expect(kept).toBeGreaterThanOrEqual(spread.onGround.central!);
    expect(kept).toBeLessThan(1);
    expect(mill.onGround.central!).toBeLessThan(0.6 * spread.onGround.central!);
    expect(line.onGround).toEqual(spread.onGround);
    expect(line.inLines.central!).toBeLessThan(line.onGround.central!);
    expect(line.lineGroundFraction!).toBeCloseTo(0.4 / 9.144, 3);
  });

  test('as now is what the ledger of the field says', () => {
    const study = whole.json<{ fields: { id: string; ledger: { central: Record<string, number> } }[] }>(
      'study',
      'farm',
    );
    const { central } = study.fields.find((one) => one.id === 'west')!.ledger;
    const standing = central['producedSeeds']! - central['shedBeforeSeeds']! - central['leftStandingSeeds']!;
    const onGround = (central['headerLossSeeds']! + central['landedByMachineSeeds']!) / standing;
    expect(of('spread').onGround.central!).toBeCloseTo(onGround, 6);
  });

  test('a header that loses less takes more into the machine', () => {
    expect(of('least header loss').onGround.central!).toBeLessThan(of('most header loss').onGround.central!);
  });
});

describe('what is wrong is refused with what to do', () => {
  test.each([
    [['harvest', 'farm', '--by', 'luck'], /--by is class or cost/],
    [['harvest', 'farm', '--season', '1999'], /no season 1999; it has/],
    [['harvest', 'farm', '--field', 'nowhere'], /no field with the id "nowhere"/],
    [['harvest', 'farm', '--out', 'list.pdf'], /ends in \.csv/],
    [['set', 'farm', 'ripe.west=soon'], /a day or none/],
    [['set', 'farm', 'cleaned.west=well'], /limited, thorough or none/],
    [['set', 'farm', 'road.west,nowhere=3mi'], /a way that is longer/],
    [['set', 'farm', 'machine-hour=-5'], /machine and crew/],
  ] as const)('%j', (words, said) => {
    const { code, err } = whole.copy().run(...words);
    expect(code).toBe(2);
    expect(err).toMatch(said);
  });

  test('the table for a spreadsheet has a row a field', () => {
    const host = uncut();
    host.run('harvest', 'farm', '--out', 'list.csv');
    const rows = host.text('list.csv').trim().split('\r\n');
    expect(rows).toHaveLength(4);
    expect(rows[0]).toContain('Kept off by a thorough clean-out, most likely');
  });
});
