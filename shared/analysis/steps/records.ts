/** Per file: attachment → typed columns. */
import { readBundle } from '../../import/importers.ts';
import type { Bundle, ReadFile, ReadingWishes } from '../../import/importer.ts';
import { problem, refused } from '../../model/problem.ts';
import type { ByteSource } from '../../model/records.ts';
import type { Farm } from '../../model/farm.ts';
import { defineStep } from '../define-step.ts';
import type { Scope } from '../step.ts';

interface Settings {
  readonly name: string;
  readonly partNames: readonly string[];
  readonly wishes: ReadingWishes;
}

export const recordsStep = defineStep<Settings, ReadFile>({
  id: 'records',
  title: 'Reading records',
  version: 2,
  per: ['file'],
  key: 'inputs',
  settings(farm, scope) {
    const file = fileOf(farm, scope);
    const { reading } = file;
    const byPerson = Object.entries(reading.columns).filter(([, one]) => one.by === 'person');
    return {
      name: file.name,
      partNames: (file.parts ?? []).map((id) => farm.files.find((one) => one.id === id)?.name ?? id),
      wishes: {
        ...(reading.as === undefined ? {} : { as: reading.as as NonNullable<ReadingWishes['as']> }),
        ...(reading.crs === undefined ? {} : { crs: reading.crs }),
        ...(reading.utcOffsetMinutes === undefined ? {} : { utcOffsetMinutes: reading.utcOffsetMinutes }),
        ...(reading.rowSpacingM === undefined ? {} : { rowSpacingM: reading.rowSpacingM }),
        ...(reading.walkedWidthM === undefined ? {} : { walkedWidthM: reading.walkedWidthM }),
        columns: Object.fromEntries(byPerson.map(([quantity, one]) => [quantity, one.column])),
        units: Object.fromEntries(byPerson.flatMap(([quantity, one]) => (one.unit ? [[quantity, one.unit]] : []))),
      },
    };
  },
  needs(farm, scope) {
    const file = fileOf(farm, scope);
    return { file: { file: file.id }, parts: (file.parts ?? []).map((id) => ({ file: id })) };
  },
  optional: ['file', 'parts'],
  *run({ settings, needs }) {
    const main = needs['file'] as ByteSource | null;
    if (!main) {
      return refused(
        problem('error', 'attachment-missing', `The attachment of ${settings.name} is missing.`, {
          where: { file: settings.name },
          hint: 'Add the file again.',
        }),
      );
    }
    const parts = (needs['parts'] as (ByteSource | null)[]).filter((one) => one !== null);
    const bundle: Bundle = { name: settings.name, parts: [main, ...parts] };
    return yield* readBundle(bundle, settings.wishes);
  },
});

function fileOf(farm: Farm, scope: Scope) {
  const file = farm.files.find((one) => one.id === scope.file);
  if (!file) throw new Error(`records: no file ${scope.file}`);
  return file;
}
