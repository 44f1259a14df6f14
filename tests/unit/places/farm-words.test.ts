/** The Farm place's words and order, over a real study of the small farm. */
import { describe, expect, it } from 'vitest';
import type { FieldStudy, Study } from '../../../shared/analysis/study.ts';
import { firstFinding, nextOf, unsureOf } from '../../../src/places/farm/farm-notes.ts';
import { piecesOf } from '../../../src/places/farm/sentence-pieces.ts';
import { shortReason } from '../../../src/places/farm/short-reason.ts';
import { fieldsShown, rankedOf, unlookedOf } from '../../../src/places/farm/standing.ts';
import { coverEnds, weekOf } from '../../../src/places/farm/week.ts';
import { boundaries, counts, crops, ratings, scouting, sprayings } from '../../support/small-farm.ts';
import { documentOf, hostWithFarm } from '../../support/small-farm-host.ts';

const host = hostWithFarm('farm', {
  'rounds.csv': scouting(counts('East', [5, 5])),
  'ratings.csv': ratings.replace('West,waterhemp,patches,2026-09-03\n', ''),
  'crops.csv': crops,
  'sprayings.csv': sprayings,
  'boundaries.geojson': boundaries(),
});
const study = JSON.parse(host.run('study', 'farm', '--json').out) as Study;
const farm = documentOf(host, 'farm');
const named = (name: string) => study.fields.find((one) => one.name === name)!;
const few = () => 'few' as const;

describe('why a field stands where it stands, in a line', () => {
  it('says what was found, or that nobody looked', () => {
    expect(shortReason(named('East'), farm, () => null)).toMatch(/^Waterhemp (on|at) .*; .* seeds fell$/);
    expect(shortReason(named('Middle'), farm, few)).toBe('A few waterhemp');
    expect(shortReason(named('Middle'), farm, () => 'none seen')).toBe('No waterhemp seen: keep it clean');
    expect(shortReason({ ...named('West'), carriedIn: { low: 0, central: 0, high: 0 } }, farm, () => null)).toBe(
      'Nobody looked this season',
    );
  });
});

describe('the order of the list', () => {
  it('has ranked fields by rank, and those nobody looked at apart', () => {
    expect(rankedOf(study.fields).map((one) => one.rank)).toEqual([1, 2]);
    expect(unlookedOf(study.fields).map((one) => one.name)).toEqual(['West']);
  });

  it('is told as a first look while the logs are being retraced', () => {
    expect(firstFinding(study.fields, true)).toMatch(/^At a first look: treat \w+ first, then \w+$/);
    expect(firstFinding(study.fields, false)).toMatch(/^Treat \w+ first, then \w+: what they cost is still computed$/);
  });

  it('of a newer ranking keeps the cost of fields whose evidence is the same, and shows none for the others', () => {
    const ranking = {
      season: 2026,
      fields: study.fields.map((one) => (one.name === 'Middle' ? { ...one, bySpecies: [] } : one)),
    };
    const shown = fieldsShown({ ...study, fields: study.fields }, ranking as never);
    expect(shown.find((one) => one.name === 'East')!.stakePerHa).toEqual(named('East').stakePerHa);
    expect(fieldsShown(study, null)).toBe(study.fields);
  });
});

describe('the sentences under the finding', () => {
  it('say what is unsure and what comes next', () => {
    expect(unsureOf(study)).toBe('Middle rests on words or drawn patches, without a count.');
    expect(nextOf(study)).toBe('Next: treat East first, and look at West.');
    const nobody = { ...study, fields: study.fields.map((one): FieldStudy => ({ ...one, rank: null })) };
    expect([unsureOf(nobody), nextOf(nobody)!.startsWith('Rate each field')]).toEqual([null, true]);
  });

  it('the finding’s number stands in it, with the path of its working', () => {
    expect(study.summaryNumbers.map((one) => one.path)).toEqual(['summary/seedShare']);
    const pieces = piecesOf(study.summary, study.summaryNumbers);
    expect(pieces.map((one) => one.text).join('')).toBe(study.summary);
    expect(host.run('working', 'farm', 'summary/seedShare').code).toBe(0);
    expect(() => piecesOf('no number', [{ text: '5', path: 'x' }])).toThrow(/does not stand/);
  });
});

describe('this week', () => {
  it('cover ends as a band from the last spraying, and is told in the week in which it may end', () => {
    const ends = coverEnds(study.fields);
    expect(ends.map((one) => one.field.name).sort()).toEqual(['Middle', 'West']);
    for (const { ends: band, lastOn } of ends) {
      expect(lastOn < band.low && band.low <= band.central && band.central <= band.high).toBe(true);
    }
    const west = ends.find((one) => one.field.name === 'West')!;
    expect(weekOf(ends, west.ends.central).due).toContain(west);
    expect(weekOf(ends, '2026-12-01').ended).toHaveLength(2);
    expect(weekOf(ends, '2026-04-01').holding).toHaveLength(2);
  });
});
