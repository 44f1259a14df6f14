/** The sample's files taken in as a person would bring them, and the rest of the document from its settings. */
import { speciesIdOf } from '../shared/agronomy/species-names.ts';
import { digestOf } from '../shared/analysis/digest.ts';
import { takeIn } from '../shared/analysis/take-in.ts';
import { readBundle } from '../shared/import/importers.ts';
import type { ReadingWishes } from '../shared/import/importer.ts';
import { applyEdit } from '../shared/model/edit.ts';
import { type Farm, farmSchema, type Season } from '../shared/model/farm.ts';
import { emptyFarm } from '../shared/model/new-farm.ts';
import { sampleFiles, type SampleFile, sampleSettings } from './make-sample.ts';

export interface AssembledSample {
  readonly farm: Farm;
  readonly attachments: readonly { readonly sha256: string; readonly name: string; readonly bytes: Uint8Array }[];
}

/** @throws if a file of the sample is refused: that is a programmer's error. Yields each file as it is made. */
export function* assembleSample(
  files: Iterable<SampleFile> = sampleFiles(),
): Generator<SampleFile, AssembledSample, void> {
  const settings = sampleSettings();
  const { fieldIds: _fieldIds, sampleFiles: told, seasons, rounds: _rounds, ...rest } = settings;
  let farm: Farm = {
    ...emptyFarm(settings.id, settings.name),
    ...(rest as unknown as Partial<Farm>),
    thresholdPerM2: bySpecies(settings.thresholdPerM2),
    population: bySpecies(settings.population as Farm['population']),
    seasons: seasons.map(({ visits: _visits, ...season }): Season => ({
      ...(season as unknown as Season),
      visits: [],
    })),
  };
  const attachments: { sha256: string; name: string; bytes: Uint8Array }[] = [];
  for (const file of files) {
    yield file;
    const known = told.find((one) => one.name === file.path);
    if (!known) continue;
    const name = file.path.split('/').at(-1)!;
    const wishes: ReadingWishes =
      'utcOffsetMinutes' in known ? { utcOffsetMinutes: known.utcOffsetMinutes as number } : {};
    const source = { name, size: file.bytes.length, chunks: () => [file.bytes] };
    const reading = readBundle({ name, parts: [source] }, wishes);
    let turn = reading.next();
    while (!turn.done) turn = reading.next();
    if (!turn.value.ok) throw new Error(`sample: ${name} was refused: ${turn.value.problems[0]?.text}`);
    const sha256 = digestOf(file.bytes);
    const taken = takeIn(farm, { name, sha256, bytes: file.bytes.length, parts: [], read: turn.value.value, wishes });
    if (!taken.ok) throw new Error(`sample: ${name} was not taken in: ${taken.problems[0]?.text}`);
    farm = applyEdit(farm, taken.value.edit).farm;
    attachments.push({ sha256, name, bytes: file.bytes });
  }
  farm = { ...farm, seasons: farm.seasons.map((season) => ({ ...season, visits: withoutLog(season, seasons) })) };
  return { farm: farmSchema.parse(farm), attachments };
}

/** The visits that came with logs, and those that the settings tell without one. */
function withoutLog(season: Season, seasons: ReturnType<typeof sampleSettings>['seasons']): Season['visits'] {
  const mine = seasons.find((one) => one.year === season.year)?.visits ?? [];
  const missing = mine.filter(
    (visit) => !('fileName' in visit) && !season.visits.some((one) => one.field === visit.field),
  );
  return [...season.visits, ...missing.map(({ ...visit }) => visit as Season['visits'][number])];
}

/** Settings name species as a person would, by EPPO code; the document by id. */
function bySpecies<T>(told: Readonly<Record<string, T>>): Record<string, T> {
  return Object.fromEntries(Object.entries(told).map(([name, value]) => [speciesIdOf(name)!, value]));
}
