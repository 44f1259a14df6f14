/** Every importer, in the order in which they are asked; the only place that lists them. */
import { type Outcome, problem, refused } from '../model/problem.ts';
import { cropsImporter } from './crops.ts';
import { geojsonImporter } from './geojson.ts';
import { harvestLogImporter } from './harvest-log.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { ratingsImporter } from './ratings.ts';
import { scoutingImporter } from './scouting.ts';
import { shapefileImporter } from './shapefile.ts';
import { sprayingsImporter } from './sprayings.ts';
import { explainUnrelatedTable } from './table.ts';
import { unreadFormat } from './unread-formats.ts';
import { weatherImporter } from './weather.ts';

export const importers: readonly Importer[] = [
  geojsonImporter,
  shapefileImporter,
  harvestLogImporter,
  scoutingImporter,
  ratingsImporter,
  weatherImporter,
  cropsImporter,
  sprayingsImporter,
];

const KIND_OF: Readonly<Record<string, string>> = {
  'harvest log': harvestLogImporter.id,
  scouting: scoutingImporter.id,
  ratings: ratingsImporter.id,
  weather: weatherImporter.id,
  crops: cropsImporter.id,
  sprayings: sprayingsImporter.id,
};

const HEAD_BYTES = 65536;
const LEAST_CERTAINTY = 0.5;

/** Reads a file with the importer that knows it best, or with the one that the person asked for. */
export function* readBundle(
  bundle: Bundle,
  wishes: ReadingWishes,
): Generator<readonly [number, number], Outcome<ReadFile>, void> {
  const where = { where: { file: bundle.name } };
  if (bundle.parts.every((part) => part.size === 0)) {
    return refused(
      problem('error', 'file-empty', `${bundle.name} is empty (0 bytes).`, { ...where, hint: 'Export it again.' }),
    );
  }
  const head = headOf(bundle);
  const unread = unreadFormat(bundle, head);
  if (unread) return refused(unread);
  const importer = chooseImporter(bundle, head, wishes);
  if (!importer) return refused(explainUnrelatedTable(bundle, head));
  return yield* importer.read(bundle, wishes);
}

function chooseImporter(bundle: Bundle, head: Uint8Array, wishes: ReadingWishes): Importer | null {
  const asked = wishes.as === undefined ? undefined : KIND_OF[wishes.as];
  if (asked !== undefined) return importers.find((one) => one.id === asked)!;
  let best: Importer | null = null;
  let certainty = LEAST_CERTAINTY;
  for (const importer of importers) {
    const score = importer.recognize(bundle, head);
    if (score > certainty || (score === certainty && best === null)) [best, certainty] = [importer, score];
  }
  return best;
}

function headOf(bundle: Bundle): Uint8Array {
  const main = bundle.parts.find((part) => part.name === bundle.name) ?? bundle.parts[0]!;
  for (const chunk of main.chunks()) return chunk.subarray(0, HEAD_BYTES);
  return new Uint8Array(0);
}
