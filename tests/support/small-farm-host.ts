/** The small farm on a machine without a disk: made and filled by the command line as a person would. */
import type { Farm, Product, Program } from '../../shared/model/farm.ts';
import { MemoryHost } from './memory-host.ts';
import { wholeFarm } from './small-farm.ts';

/** A host on which the whole farm was brought in at `path`. @throws where the command line refuses any of it */
export function hostWithFarm(path: string, files: Readonly<Record<string, string>> = wholeFarm()): MemoryHost {
  const host = new MemoryHost(files);
  for (const words of [
    ['new', path, '--name', 'Small Farm'],
    ['add', path, ...Object.keys(files)],
  ]) {
    const { code, err } = host.run(...words);
    if (code !== 0) throw new Error(`${words.join(' ')}: ${err}`);
  }
  return host;
}

/** The document at a path, as it stands on the host. */
export function documentOf(host: MemoryHost, path: string, folder = ''): Farm {
  const text = path.endsWith('.zip') ? host.textInZip(path, `${folder}farm.json`) : host.text(`${path}/farm.json`);
  return JSON.parse(text) as Farm;
}

const residual: Product = {
  id: 'residual',
  name: 'Residual as typed',
  parts: [{ ingredient: 'S-metolachlor', group: '15', gPerUnit: 900 }],
  form: 'liquid',
  unit: 'L/ha',
  label: { full: 1.5, low: 1, high: 1.8, seasonMax: 2.4, carrierLHaMin: 100 },
};

const full: Program = {
  id: 'full',
  name: 'Full residual',
  assumed: false,
  passes: [
    {
      id: 'pre',
      timing: 'pre-emergence',
      means: 'residual',
      parts: [{ ingredient: 'S-metolachlor', rateFraction: 1 }],
      daysFromPlanting: 1,
      control: { early: 'good', 'with the crop': 'fair', late: 'poor' },
      controlOf: {},
      costPerHa: 60,
      where: 'field',
      crops: [],
    },
  ],
};

/** What has no file of its own: prices, a sprayer, a product typed from an invented label, a program, next year's crops. */
export function furnish(host: MemoryHost, path: string): void {
  const farm = documentOf(host, path);
  const next = (field: string, crop: string, tolerates: string[] | 'not stated') => ({
    field,
    crop,
    tolerates,
    plantedOn: null,
    rowSpacingM: null,
    tillage: 'not stated' as const,
    expectedYieldKgHa: null,
  });
  const furnished: Farm = {
    ...farm,
    machines: [...farm.machines, { id: 'sprayer', kind: 'sprayer', tankL: 1000 }],
    products: [residual],
    programs: [...farm.programs, full],
    seasons: [
      ...farm.seasons.map((season) => ({ ...season, prices: { soybean: 0.4, corn: 0.17 } })),
      {
        year: 2027,
        weather: [],
        prices: {},
        crops: [
          next('west', 'corn', ['S-metolachlor']),
          next('middle', 'corn', ['atrazine']),
          next('east', 'corn', 'not stated'),
        ],
        visits: [],
        sprayed: [],
        sightings: [],
      },
    ],
  };
  const text = JSON.stringify(furnished);
  if (path.endsWith('.zip')) host.putInZip(path, 'farm.json', new TextEncoder().encode(text));
  else host.put(`${path}/farm.json`, text);
}
