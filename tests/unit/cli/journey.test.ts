import { beforeAll, describe, expect, test } from 'vitest';
import { geojsonImporter } from '../../../shared/import/geojson.ts';
import { shapefileImporter } from '../../../shared/import/shapefile.ts';
import { LEDGER_TOLERANCE, type Ledger, closeLedger } from '../../../shared/harvest/ledger.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import { checkSchema } from '../../../shared/model/output/check.ts';
import { studySchema } from '../../../shared/model/output/study.ts';
import type { Study } from '../../../shared/analysis/study.ts';
import { closeTo } from '../../support/close-to.ts';
import { boundariesIn, readAll, sourceOf } from '../../support/bundle.ts';
import { MemoryHost } from '../../support/memory-host.ts';
import { documentOf, furnish, hostWithFarm } from '../../support/small-farm-host.ts';
import { counts, scouting, wholeFarm } from '../../support/small-farm.ts';

/** One farm with everything, studied once; the tests read from it and leave it as it is. */
let host: MemoryHost;
let study: Study;
beforeAll(() => {
  host = hostWithFarm('farm');
  furnish(host, 'farm');
  study = host.json<Study>('study', 'farm');
}, 120_000);

describe('add', () => {
  test('all files at once in the wrong order: boundaries go first, each file is kept byte for byte', () => {
    const farm = documentOf(host, 'farm');
    expect(farm.fields.map((one) => one.name)).toEqual(['West', 'Middle', 'East']);
    expect(farm.files.map((one) => one.kind)).toEqual([
      'boundaries',
      'crops',
      'weather',
      'sprayings',
      'scouting',
      'harvest log',
      'harvest log',
    ]);
    for (const [name, content] of Object.entries(wholeFarm())) {
      const file = farm.files.find((one) => one.name === name)!;
      expect(host.text(`farm/attachments/${file.sha256}`)).toBe(content);
    }
  });
  test('the order in which files are named changes nothing in the study', () => {
    const names = Object.keys(wholeFarm());
    const other = new MemoryHost(wholeFarm());
    other.run('new', 'farm', '--name', 'Small Farm');
    for (const name of ['boundaries.geojson', ...names.filter((one) => one !== 'boundaries.geojson').reverse()])
      expect(other.run('add', 'farm', name).code).toBe(0);
    furnish(other, 'farm');
    expect({ ...other.json<Study>('study', 'farm'), steps: {} }).toEqual({ ...study, steps: {} });
  });
});

describe('study', () => {
  test('what is printed with --json is what the published schema says', () => {
    expect(studySchema.safeParse(study).error?.issues ?? []).toEqual([]);
    const checks = host.json<unknown>('check', ...Object.keys(wholeFarm()));
    expect(checkSchema.safeParse(checks).error?.issues ?? []).toEqual([]);
  });
  test('a second study reuses every result', () => {
    const again = host.json<Study>('study', 'farm');
    const ran = Object.values(again.steps).reduce((sum, one) => sum + one.ran, 0);
    expect(ran).toBe(0);
    expect({ ...again, steps: {} }).toEqual({ ...study, steps: {} });
  });
  test('the farm as a file gives the study that the folder gives', () => {
    const zipped = hostWithFarm('farm.zip');
    furnish(zipped, 'farm.zip');
    const other = zipped.json<Study>('study', 'farm.zip');
    const nameless = (one: Study) => ({ ...one, steps: {}, farm: { ...one.farm, id: '', name: '' } });
    expect(nameless(other)).toEqual(nameless(study));
  });
  test('a farm file whose farm lies in a folder is opened, and stays so when files are added', () => {
    const zipped = new MemoryHost(wholeFarm());
    zipped.run('new', 'farm');
    zipped.putZip('in-folder.zip', {
      'my farm/farm.json': zipped.files.get('farm/farm.json')!,
      'my farm/notes.txt': new Uint8Array([65]),
    });
    expect(zipped.run('add', 'in-folder.zip', 'boundaries.geojson').code).toBe(0);
    expect(zipped.namesInZip('in-folder.zip')).toEqual([
      'my farm/farm.json',
      'my farm/notes.txt',
      `my farm/attachments/${documentOf(zipped, 'in-folder.zip', 'my farm/').files[0]!.sha256}`,
    ]);
    expect(zipped.json<Study>('study', 'in-folder.zip').fields.length).toBe(3);
  });
  test('one changed count recomputes that field and what looks at the whole farm, no other field', () => {
    const other = host.copy();
    const farm = documentOf(other, 'farm');
    const [lon, lat] = [farm.fields[0]!.frameOrigin[0]!, farm.fields[0]!.frameOrigin[1]!];
    const typed = { at: [lon, lat], on: '2026-08-28', species: 'waterhemp', effortM2: 1, count: 40 };
    // A typed count belongs to the round; every field of the round looks whether it lies on it.
    const rounds = farm.rounds.map((one) => ({ ...one, typed: [typed] }));
    other.put('farm/farm.json', JSON.stringify({ ...farm, rounds }));
    const { steps } = other.json<Study>('study', 'farm');
    expect(steps['records']!.ran).toBe(0);
    expect(steps['field']!.ran).toBe(0);
    expect(steps['harvest-path']!.ran).toBe(0);
    expect(steps['season']!.ran).toBe(0);
    expect(steps['infestation']!.ran).toBe(1);
    expect(steps['yield-loss']!.ran).toBe(3);
    expect(steps['seed-return']!.ran).toBe(3);
    expect(steps['movement-own']!.ran).toBe(3);
    expect(steps['priority']!.ran).toBe(1);
  });
  test('results that a study does not use any more are dropped', () => {
    const other = host.copy();
    other.put('farm/.derived/0123', 'old');
    other.run('study', 'farm');
    expect(other.list('farm/.derived')).not.toContain('0123');
    expect(other.list('farm/.derived').length).toBeGreaterThan(0);
    expect(Object.values(other.json<Study>('study', 'farm', '--json').steps).every((one) => one.ran === 0)).toBe(true);
  });
  test('--out writes the study and its zones as files', () => {
    const other = host.copy();
    expect(other.run('study', 'farm', '--out', 'results').code).toBe(0);
    expect({ ...(JSON.parse(other.text('results/study.json')) as Study), steps: {} }).toEqual({ ...study, steps: {} });
    expect(JSON.parse(other.text('results/zones.geojson'))).toMatchObject({ type: 'FeatureCollection' });
  });
});

describe('laws of a study', () => {
  test('the ledger of every field closes in every case', () => {
    const ledgers = study.fields.flatMap((one) =>
      one.ledger ? Object.values(one.ledger as Record<string, Ledger>) : [],
    );
    expect(ledgers.length).toBe(6);
    for (const ledger of ledgers) {
      closeTo(closeLedger(ledger), 0, { within: LEDGER_TOLERANCE, because: 'relative residue; rounding only' });
    }
  });
  test('what one field lets go is what the next one gets', () => {
    const [west, middle] = ['west', 'middle'].map((id) => study.fields.find((one) => one.id === id)!);
    for (const end of ['low', 'central', 'high'] as const) {
      const [out, into] = [west!.carriedOut[end]!, middle!.carriedIn[end]!];
      expect(out).toBeGreaterThan(0);
      closeTo(into, out, { within: 1e-12 * out, because: 'the same number, folded over the three cases' });
    }
    expect(west!.carriedIn).toEqual({ low: 0, central: 0, high: 0 });
  });
  test('a clean-out takes its share off before the next field', () => {
    const other = host.copy();
    const farm = documentOf(other, 'farm');
    const seasons = farm.seasons.map((season) => ({
      ...season,
      visits: season.visits.map((one) =>
        one.field === 'middle' ? { ...one, cleanOutBefore: 'thorough' as const } : one,
      ),
    }));
    other.put('farm/farm.json', JSON.stringify({ ...farm, seasons }));
    const cleaned = other.json<Study>('study', 'farm');
    const before = study.fields.find((one) => one.id === 'middle')!.carriedIn;
    const after = cleaned.fields.find((one) => one.id === 'middle')!.carriedIn;
    const out = cleaned.fields.find((one) => one.id === 'west')!.carriedOut;
    expect(out).toEqual(study.fields.find((one) => one.id === 'west')!.carriedOut);
    // 0.95 of it is removed (machine.cleanOut.thorough, central case).
    closeTo(after.central!, 0.05 * before.central!, { within: 1e-12 * before.central!, because: 'one product' });
  });
  test('ranks run from 1 without ties, in both rankings, and unscouted fields are listed apart', () => {
    const ranked = study.fields.filter((one) => one.rank !== null);
    const upTo = ranked.map((_, index) => index + 1);
    expect(ranked.map((one) => one.rank)).toEqual(upTo);
    expect(ranked.map((one) => one.rankByThisYear!).sort((a, b) => a - b)).toEqual(upTo);
    const unlooked = study.fields.filter((one) => one.rank === null);
    expect(unlooked.map((one) => [one.name, one.lookRank])).toEqual([['East', 1]]);
  });
  test('a range runs from low over central to high, or is all null', () => {
    const seen = JSON.stringify(study, (_key, value: unknown) => {
      if (typeof value === 'object' && value !== null && 'central' in value && 'low' in value && 'high' in value) {
        const { low, central, high } = value as Record<string, number | null>;
        if (central === null) expect([low, high]).toEqual([null, null]);
        else {
          expect(low!).toBeLessThanOrEqual(central!);
          expect(central!).toBeLessThanOrEqual(high!);
        }
      }
      return value;
    });
    expect(seen).not.toContain('NaN');
  });
});

describe('working', () => {
  test('a number’s path leads to its formula, inputs and sources, and the formula gives the number', () => {
    const working = host.json<{
      range: { central: number };
      formula: string;
      inputs: { symbol: string; byCase: Record<string, number> }[];
    }>('working', 'farm', 'fields/west/yieldLossKg');
    const input = (symbol: string) => working.inputs.find((one) => one.symbol === symbol)!.byCase['central']!;
    const byHand = (input('L') * input('Y') * input('A')) / 10_000;
    closeTo(working.range.central, byHand, { within: 1e-9 * byHand, because: 'three products' });
    expect(working.range).toEqual(study.fields.find((one) => one.id === 'west')!.yieldLossKg);
    const { code, out } = host.run('working', 'farm', 'fields/west/yieldLossKg');
    expect(code).toBe(0);
    expect(out).toContain(working.formula);
    expect(out).toContain('source:');
  });
  test('a path without a number lists those near it', () => {
    const { code, err } = host.run('working', 'farm', 'fields/west/yieldLos');
    expect(code).toBe(2);
    expect(err).toContain('fields/west/yieldLossKg');
  });
});

describe('zones', () => {
  test('as GeoJSON they come back with the area that the study tells', () => {
    const { code, out } = host.run('zones', 'farm', '--out', 'made/zones.geojson', '--field', 'west');
    expect(code).toBe(0);
    expect(out).toContain('made/zones.geojson');
    const back = boundariesIn(
      readAll(geojsonImporter, {
        name: 'zones.geojson',
        parts: [sourceOf('zones.geojson', host.files.get('made/zones.geojson')!)],
      }),
    );
    const told = study.fields.find((one) => one.id === 'west')!.zones;
    expect(back.features.length).toBe(told.length);
    back.features.forEach((feature, index) =>
      closeTo(feature.areaM2, told[index]!.areaM2, {
        within: 0.1,
        because: '9 decimals of a degree on a ring of some hundred meters',
      }),
    );
  });
  test('as a shapefile they come back too', () => {
    expect(host.run('zones', 'farm', '--format', 'shapefile', '--out', 'made/zones.shp').code).toBe(0);
    const parts = ['shp', 'shx', 'dbf', 'prj', 'cpg'].map((ending) =>
      sourceOf(`zones.${ending}`, host.files.get(`made/zones.${ending}`)!),
    );
    const back = boundariesIn(readAll(shapefileImporter, { name: 'zones.shp', parts }));
    expect(back.features.length).toBe(study.fields.reduce((sum, one) => sum + one.zones.length, 0));
  });
  test('the ending of the file says the format where none is asked for', () => {
    expect(host.run('zones', 'farm', '--out', 'made/other.shp').code).toBe(0);
    expect(host.kind('made/other.dbf')).toBe('file');
  });
  test('an unknown format, a missing path and an unknown field are refused', () => {
    expect(host.run('zones', 'farm', '--format', 'dwg', '--out', 'z').err).toContain('geojson, shapefile');
    expect(host.run('zones', 'farm').err).toContain('--out PATH');
    expect(host.run('zones', 'farm', '--out', 'z', '--field', 'nord').err).toContain('west, middle, east');
  });
});

describe('order', () => {
  const order = (...more: string[]) => ['order', 'farm', '--product', 'residual', '--season', '2027', ...more];

  test('is refused where the tolerance of the crop is not stated, and where it is not given', () => {
    const { code, out, err } = host.run(...order('--field', 'east', '--rate', '1.2', '--volume', '150'));
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain('not stated whether the corn in East tolerates S-metolachlor');
    expect(host.run(...order('--field', 'middle', '--rate', '1.2', '--volume', '150')).err).toContain('not among');
  });
  test('is refused above the label, below the least spray volume, and above the season’s maximum', () => {
    expect(host.run(...order('--field', 'west', '--rate', '1.81', '--volume', '150')).err).toContain(
      'above the highest rate',
    );
    expect(host.run(...order('--field', 'west', '--rate', '1.2', '--volume', '90')).err).toContain(
      'below the least spray volume',
    );
    const { err } = host.run(
      'order',
      'farm',
      '--product',
      'residual',
      '--season',
      '2026',
      '--field',
      'west',
      '--rate',
      '1.5',
      '--volume',
      '150',
    );
    expect(err).toContain('this season');
  });
  test('field, product and rate are asked for, one at a time; no rate is proposed', () => {
    expect(host.run('order', 'farm').err).toContain('--field west|middle|east');
    expect(host.run('order', 'farm', '--field', 'west').err).toContain('--product residual');
    const { err } = host.run('order', 'farm', '--field', 'west', '--product', 'residual');
    expect(err).toContain('from the product label');
    expect(err).not.toMatch(/\d/);
  });
  test('totals and tank loads are those of hand arithmetic', () => {
    const made = host.json<{
      areaM2: number;
      volumeL: number;
      loads: { count: number; fullL: number; lastL: number };
      products: { productTotal: number; rateFraction: number; productPerFull: number; productInLast: number }[];
    }>(...order('--field', 'west', '--rate', '1.2', '--volume', '1500', '--whole-field'));
    const { areaM2 } = study.fields.find((one) => one.id === 'west')!;
    const exact = { because: 'a few products' };
    const hectares = areaM2 / 10_000;
    expect(made.areaM2).toBe(areaM2);
    const [product] = made.products;
    closeTo(product!.productTotal, hectares * 1.2, { within: 1e-12, ...exact });
    closeTo(made.volumeL, hectares * 1500, { within: 1e-9, ...exact });
    // 2160 L in tanks of 1000 L: two full and a rest; 1000 L treat 2/3 ha with 0.8 L of product.
    expect(made.loads.count).toBe(3);
    expect(made.loads.fullL).toBe(1000);
    closeTo(product!.productPerFull, 0.8, { within: 1e-12, ...exact });
    closeTo(made.loads.lastL, made.volumeL - 2000, { within: 1e-9, ...exact });
    closeTo(2 * product!.productPerFull + product!.productInLast, product!.productTotal, { within: 1e-12, ...exact });
    closeTo(product!.rateFraction, 1.2 / 1.5, { within: 1e-12, ...exact });
  });
  test('zones only: the areas of the zones that the study proposes', () => {
    const made = host.json<{ areaM2: number }>(...order('--field', 'west', '--rate', '1.2', '--volume', '150'));
    const zones = study.fields.find((one) => one.id === 'west')!.zones;
    expect(zones.length).toBeGreaterThan(0);
    closeTo(
      made.areaM2,
      zones.reduce((sum, one) => sum + one.areaM2, 0),
      { within: 1e-6, because: 'a sum' },
    );
  });
  test('--keep puts the rate into the plan, under a program and pass that exist, and nowhere else', () => {
    const other = host.copy();
    const kept = order('--field', 'west', '--rate', '1.2', '--volume', '150', '--keep');
    expect(other.run(...kept).code).toBe(1);
    expect(documentOf(other, 'farm').plan).toEqual([]);
    expect(other.run(...kept, '--program', 'full', '--pass', 'pre').code).toBe(0);
    expect(documentOf(other, 'farm').plan).toEqual([
      {
        season: 2027,
        target: { field: 'west' },
        program: 'full',
        rates: [{ pass: 'pre', product: 'residual', perArea: 1.2, unit: 'L/ha', rateMeans: 'product' }],
        orders: [{ pass: 'pre', where: 'zones', volumeLHa: 150, outsideFraction: 0, positionLost: 'nothing' }],
      },
    ] satisfies Farm['plan']);
  });
});

test('counts added later join their round, and the first study’s other fields are not computed again', () => {
  const other = host.copy();
  other.put('east.csv', scouting(counts('East', [3, 2], undefined, '2026-09-02')));
  expect(other.run('add', 'farm', 'east.csv').out).toContain(
    'Added a round of 6 observations on 1 field from east.csv.',
  );
  expect(documentOf(other, 'farm').rounds).toMatchObject([{ id: 'round-2026', from: '2026-08-28', to: '2026-09-02' }]);
  const { fields, steps } = other.json<Study>('study', 'farm');
  expect(fields.find((one) => one.id === 'east')).toMatchObject({ evidence: 'c', lookRank: null });
  expect(steps['infestation']).toEqual({ ran: 3, reused: 0 });
  expect(steps['harvest-path']!.ran).toBe(0);
});
