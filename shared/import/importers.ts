/** Every importer, in the order in which they are asked; the only place that lists them. */
import { type Outcome, problem, type Problem, refused } from '../model/problem.ts';
import type { FileKind } from '../model/records.ts';
import { cropsImporter } from './crops.ts';
import { fieldNotesImporter } from './field-notes.ts';
import { geojsonImporter } from './geojson.ts';
import { gpxImporter } from './gpx.ts';
import { harvestLogImporter } from './harvest-log.ts';
import type { Bundle, Importer, ReadFile, ReadingWishes } from './importer.ts';
import { ratingsImporter } from './ratings.ts';
import { scoutingImporter } from './scouting.ts';
import { shapefileImporter } from './shapefile.ts';
import { sprayingsImporter } from './sprayings.ts';
import { explainUnrelatedTable } from './table.ts';
import { taskDataFieldsImporter } from './task-data-fields.ts';
import { taskDataImporter } from './task-data.ts';
import { unreadFormat } from './unread-formats.ts';
import { weatherImporter } from './weather.ts';

export const importers: readonly Importer[] = [
  fieldNotesImporter,
  geojsonImporter,
  shapefileImporter,
  gpxImporter,
  taskDataFieldsImporter,
  taskDataImporter,
  harvestLogImporter,
  scoutingImporter,
  ratingsImporter,
  weatherImporter,
  cropsImporter,
  sprayingsImporter,
];

/** What a table can be taken for, and by whom. */
export const TABLE_IMPORTERS: Readonly<Record<Exclude<FileKind, 'boundaries' | 'drawn patches' | 'track'>, Importer>> =
  {
    'harvest log': harvestLogImporter,
    scouting: scoutingImporter,
    ratings: ratingsImporter,
    weather: weatherImporter,
    crops: cropsImporter,
    sprayings: sprayingsImporter,
  };

export const TABLE_KINDS = Object.keys(TABLE_IMPORTERS) as readonly FileKind[];

export function tableImporterOf(kind: FileKind): Importer | null {
  return (TABLE_IMPORTERS as Partial<Record<FileKind, Importer>>)[kind] ?? null;
}

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
  const bytes = bundle.parts.reduce((sum, part) => sum + part.size, 0);
  if (!importer.columns && !importer.streams && bytes > LARGEST_WHOLE_BYTES) return refused(tooLarge(bundle, importer));
  return yield* importer.read(bundle, wishes);
}

/** Tables and time logs are read as they stream; other formats as a whole, several times their size in memory. */
const LARGEST_WHOLE_BYTES = 2 ** 29;

function tooLarge(bundle: Bundle, { title }: Importer): Problem {
  const text = `${bundle.name} is a ${title} file larger than 512 MiB: the fields of a farm take a thousandth of that.`;
  return problem('error', 'file-large', text, {
    where: { file: bundle.name },
    hint: 'Cut the farm’s own fields out of it, and bring those in.',
  });
}

/** The importer that reads the file, or null where none knows it; only its first bytes are looked at. */
export function importerFor(bundle: Bundle, wishes: ReadingWishes): Importer | null {
  return chooseImporter(bundle, headOf(bundle), wishes);
}

function chooseImporter(bundle: Bundle, head: Uint8Array, wishes: ReadingWishes): Importer | null {
  const isAsked = ({ gives }: Importer) => gives !== undefined && (wishes.as ?? gives) === gives;
  const own = importers.find((one) => isAsked(one) && one.recognize(bundle, head) >= LEAST_CERTAINTY);
  if (own) return own;
  const asked = wishes.as === undefined ? null : tableImporterOf(wishes.as);
  if (asked !== null) return asked;
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
