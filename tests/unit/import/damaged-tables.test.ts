/** Whatever bytes a person drops in, an importer answers with an outcome; it never throws and never hangs. */
import { expect, test } from 'vitest';
import { cropsImporter } from '../../../shared/import/crops.ts';
import { harvestLogImporter } from '../../../shared/import/harvest-log.ts';
import { ratingsImporter } from '../../../shared/import/ratings.ts';
import { scoutingImporter } from '../../../shared/import/scouting.ts';
import { sprayingsImporter } from '../../../shared/import/sprayings.ts';
import { weatherImporter } from '../../../shared/import/weather.ts';
import { bundleOf, drive } from '../../support/import-text.ts';

const tables = [
  [
    harvestLogImporter,
    'time,lon,lat,flow_kg_s,moisture,swath_m,header\n2026-10-03T14:00:00Z,-93.9,43.9,8,17,9,1\n2026-10-03T14:00:01Z,-93.9,43.90002,8,17,9,1\n',
  ],
  [
    scoutingImporter,
    'date,lon,lat,species,count,quadrat_m2\n2026-08-26,-93.9,43.9,AMATU,3,0.5\n2026-08-26,-93.9,43.9,"Palmer ""amaranth""",>20,0.5\n',
  ],
  [ratingsImporter, 'field,species,rating,date\nHome,AMATU,few,2026-09-01\nElbow,AMATU,,\n'],
  [weatherImporter, 'date,max_c,min_c,rain_mm\n2026-05-01,20,8,0\n2026-05-03,21,9,T\n'],
  [
    cropsImporter,
    'field,year,crop,planted,row spacing (in),yield (bu/ac),tolerates\nHome,2026,corn,2026-05-02,30,190,a; b\n',
  ],
  [sprayingsImporter, 'field,date,ingredient,share\nHome,2026-05-01,atrazine,0.5\n'],
] as const;

test.each(tables)('%o survives 400 damaged copies of its table', (importer, text) => {
  const clean = new TextEncoder().encode(text.repeat(2));
  let state = 1;
  const draw = (below: number) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
  const marks = [0, 9, 10, 13, 34, 44, 45, 46, 47, 48, 57, 59, 62, 65, 124, 195, 255];
  for (let copy = 0; copy < 400; copy++) {
    const damaged = clean.slice(0, draw(4) === 0 ? draw(clean.length) : clean.length);
    for (let times = draw(12); times > 0; times--)
      if (damaged.length > 0) damaged[draw(damaged.length)] = marks[draw(marks.length)]!;
    const bundle = bundleOf('damaged.csv', damaged, 1 + draw(200));
    const outcome = drive(importer.read(bundle, {}));
    if (!outcome.ok) expect(outcome.problems.some((one) => one.level === 'error')).toBe(true);
    else expect(outcome.value.reading.unusedRows).toBeLessThanOrEqual(outcome.value.reading.rows);
    const score = importer.recognize(bundle, damaged);
    expect(score >= 0 && score <= 1).toBe(true);
  }
});
