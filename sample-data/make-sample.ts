/**
 * The sample farm's files, made anew: the same bytes on every machine and in every engine.
 * Small files first, then the harvest logs one at a time (made on demand, too large to commit), then the truth.
 */
import { drawnPatches, northBoundaries, southFields } from './boundary-files.ts';
import { cropTable, ratingTable, sprayTable } from './farm-tables.ts';
import { logBytes } from './harvest-log.ts';
import { fall2025, lateQuadrats, lateRows } from './scouting.ts';
import { sampleSettings } from './settings.ts';
import { plantedFields, truthText, type FieldTruth } from './truth.ts';
import { weatherTable } from './weather.ts';

export { makeTruth } from './truth.ts';
export { sampleSettings } from './settings.ts';

export interface SampleFile {
  /** Path inside the farm's folder, with forward slashes. */
  readonly path: string;
  readonly bytes: Uint8Array;
}

const file = (path: string, content: string | Uint8Array): SampleFile => ({
  path,
  bytes: typeof content === 'string' ? new TextEncoder().encode(content) : content,
});

/** The files that are committed under sample-data/files, but for the truth. */
export function* smallFiles(): Generator<SampleFile, void, void> {
  yield file('settings.json', `${JSON.stringify(sampleSettings(), null, 1)}\n`);
  yield file('boundaries.geojson', northBoundaries());
  yield file('south-fields.zip', southFields());
  yield file('scouting-2025-fall.csv', fall2025());
  yield file('scouting-2026-late.csv', lateQuadrats());
  yield file('scouting-2026-late-rows.csv', lateRows());
  yield file('ratings-2026.csv', ratingTable());
  yield file('patches-2026.geojson', drawnPatches());
  yield file('weather-2024-2026.csv', weatherTable());
  yield file('crops.csv', cropTable());
  yield file('sprayings.csv', sprayTable());
}

/** Every file of the sample: small ones, 13 harvest logs in the order of the combine, truth.json. */
export function* sampleFiles(): Generator<SampleFile, void, void> {
  yield* smallFiles();
  const fields: FieldTruth[] = [];
  for (const { truth, harvested, order } of plantedFields()) {
    fields.push(truth);
    const { log } = truth;
    if (log && order) yield file(log.file, logBytes(truth.id, harvested.trace, order, log.startUnixS, log.units));
  }
  yield file('truth.json', truthText(fields));
}
