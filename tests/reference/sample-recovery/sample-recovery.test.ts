/**
 * The sample farm keeps the truth that was planted in it: what the study says of it is held against that truth. The sample is
 * invented and its scouting was adjusted until the ranges held, so this shows that the chain is sound, not how well it would do on a farm;
 * `reference/infested-area` and the other topics hold the parts against the outside.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { assembleSample } from '../../../sample-data/assemble.ts';
import { memoryStore } from '../../../shared/analysis/memory-store.ts';
import { withCurve } from '../../../shared/analysis/printed-study.ts';
import { startRunner, studyFarm, type Study } from '../../../shared/analysis/study.ts';
import type { FigureBook } from '../../../shared/analysis/formula.ts';
import { closeLedger } from '../../../shared/harvest/ledger.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { CASES } from '../../../shared/model/range.ts';
import { studySchema } from '../../../shared/model/output/study.ts';
import { recordAgreement } from '../../support/agreement.ts';
import { closeTo } from '../../support/close-to.ts';

interface Truth {
  readonly fields: readonly {
    readonly name: string;
    readonly areaM2: number;
    readonly species: Readonly<
      Record<string, { infestedM2: readonly number[]; ledger: Readonly<Record<string, number>> }>
    >;
    readonly log: { readonly delayS: number; readonly mixingS: number; readonly records: number } | null;
  }[];
}

/** Species of the truth, and the place of its threshold in the truth's list (0.1, 0.5, 1, 2, 5 plants/m²). */
const SPECIES = {
  AMATU: { id: 'waterhemp', at: 2 },
  AMAPA: { id: 'palmer-amaranth', at: 2 },
  SETFA: { id: 'giant-foxtail', at: 4 },
} as const;

let truth: Truth;
let farm: Farm;
let study: Study;
let again: Study;
let figures: FigureBook;

beforeAll(() => {
  const attachments = new Map<string, Uint8Array>();
  const work = assembleSample();
  let turn = work.next();
  while (!turn.done) {
    if (turn.value.path === 'truth.json') truth = JSON.parse(new TextDecoder().decode(turn.value.bytes)) as Truth;
    turn = work.next();
  }
  for (const one of turn.value.attachments) attachments.set(one.sha256, one.bytes);
  farm = turn.value.farm;
  const door = {
    open(sha256: string, name: string) {
      const bytes = attachments.get(sha256);
      return bytes ? { name, size: bytes.length, chunks: () => [bytes] } : null;
    },
  };
  const store = memoryStore();
  const run = () => {
    const steps = studyFarm(startRunner(farm, door, store));
    let step = steps.next();
    while (!step.done) step = steps.next();
    figures = step.value.figures;
    return step.value.study;
  };
  study = run();
  again = run();
}, 300_000);

const of = (name: string) => study.fields.find((one) => one.name === name)!;

describe('the sample farm studied from its raw files', () => {
  it('gives the JSON that its schema promises', () => {
    const printed = JSON.parse(JSON.stringify(withCurve(study, farm)));
    expect(studySchema.safeParse(printed).error?.issues ?? []).toEqual([]);
  });

  it('has fields of the areas that were planted, as the ellipsoid has them', () => {
    let largest = 0;
    for (const field of truth.fields) {
      const error = Math.abs(of(field.name).areaM2 / field.areaM2 - 1);
      largest = Math.max(largest, error);
      // The truth follows the sides as drawn; the ellipsoid's edges are geodesics between corners rounded to 1e-7 degree.
      closeTo(error, 0, { within: 2e-5, because: `geodesic against drawn edges of ${field.name}` });
    }
    recordAgreement('sample farm', 'field areas against the planted outlines, relative', largest, 2e-5, '');
  });

  it('finds the flow delay of every log within a second of planted delay plus mixing time', () => {
    let largest = 0;
    for (const { name, log } of truth.fields) {
      if (!log) continue;
      const found = of(name).harvest!.flowDelayS!;
      const planted = log.delayS + log.mixingS;
      largest = Math.max(largest, Math.abs(found - planted));
      closeTo(found, planted, {
        within: 1,
        because: 'a record tells the mean of the second that follows it (half a second), and mixing blurs the peak',
      });
    }
    recordAgreement('sample farm', 'flow delay against planted delay plus mixing', largest, 1, 's');
  });

  it('keeps every record of every log', () => {
    for (const { name, log } of truth.fields) if (log) expect(of(name).harvest!.records).toBe(log.records);
  });

  it('holds the planted infested area in its range on at least 9 of every 11 fields with counts', () => {
    const counted = truth.fields.filter(({ name }) => of(name).bySpecies.some((one) => one.places > 0));
    expect(counted.length).toBe(11);
    // A field is right if every species' range holds, and is wrong if the weed was found and no range is given.
    const right = counted.filter(({ name, species }) =>
      Object.entries(SPECIES).every(([code, { id, at }]) => {
        const found = of(name).bySpecies.find((one) => one.species === id);
        if (!found || found.places === 0) return true;
        const { low, high } = found.infestedAreaM2;
        const planted = species[code]!.infestedM2[at]!;
        return low !== null && planted >= low && planted <= high;
      }),
    );
    expect(right.length).toBeGreaterThanOrEqual(9);
    recordAgreement(
      'sample farm',
      'fields with counts whose infested area lies outside its range',
      11 - right.length,
      2,
      'of 11',
    );
  });

  it('holds the planted seed that landed in each field in its range', () => {
    const outside = truth.fields.flatMap(({ name, species }) => {
      const { low, high } = of(name).seedsLandedInField;
      if (low === null) return [];
      const planted = Object.values(species).reduce(
        (sum, one) => sum + one.ledger['headerLoss']! + one.ledger['landedInField']!,
        0,
      );
      return planted < low || planted > high
        ? [`${name}: ${planted.toExponential(2)} outside ${low.toExponential(2)} to ${high.toExponential(2)}`]
        : [];
    });
    expect(outside).toEqual([]);
  });

  it('closes the ledger of every field and case to 1e-12', () => {
    const residues = study.fields.flatMap(({ ledger }) =>
      ledger ? CASES.map((which) => Math.abs(closeLedger(ledger[which]))) : [],
    );
    expect(residues.length).toBeGreaterThanOrEqual(13 * 3);
    expect(Math.max(...residues)).toBeLessThanOrEqual(1e-12);
    recordAgreement('sample farm', 'seed ledger closure, relative', Math.max(...residues), 1e-12, '');
  });

  it('ranks the fields that somebody looked at 1…n without ties, twice, and lists the others', () => {
    const ranked = study.fields.filter((one) => one.rank !== null);
    const places = ranked.map((_, index) => index + 1);
    expect(ranked.map((one) => one.rank)).toEqual(places);
    expect(ranked.map((one) => one.rankByThisYear).sort((a, b) => a! - b!)).toEqual(places);
    expect(study.fields.filter((one) => one.rank === null).map((one) => one.name)).toEqual(['Far Piece']);
    expect(study.disagreements.length).toBeGreaterThan(0);
  });

  it('spends and gains within the budget what its chosen programs add up to', () => {
    for (const name of ['gain', 'spentPerYear'] as const) {
      const told = study.budget[name]!;
      closeTo(figures.get(`budget/${name}`)!.range.central!, told, {
        within: 1e-9 * told,
        because: 'the order of a sum',
      });
    }
    expect(study.budget.spentPerYear!).toBeLessThanOrEqual(study.budget.available!);
  });

  it('draws zones inside their field that add up to no more than it', () => {
    for (const field of study.fields) {
      const total = field.zones.reduce((sum, zone) => sum + zone.areaM2, 0);
      expect(total).toBeLessThanOrEqual(field.areaM2 * (1 + 1e-6));
    }
    expect(study.fields.filter((one) => one.zones.length > 0).length).toBeGreaterThanOrEqual(5);
  });

  it('studied again computes nothing anew and says the same', () => {
    expect(Object.values(again.steps).reduce((sum, one) => sum + one.ran, 0)).toBe(0);
    expect({ ...again, steps: null }).toEqual({ ...study, steps: null });
  });
});
