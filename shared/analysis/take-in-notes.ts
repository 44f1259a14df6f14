/**
 * Field notes are merged find by find, by their ids: what the farm has already stays as it is. The finds themselves go into the
 * document, so that those of several phones and several days come together; the notes are kept beside it as they came.
 */
import { mergeFinds } from '../model/edits/finds.ts';
import { withSpecies } from '../model/edits/rounds.ts';
import { nearestField } from '../model/nearest-field.ts';
import { documentFind, type Find, type NotedFind } from '../model/field-notes.ts';
import { problem } from '../model/problem.ts';
import type { ScoutingRecords } from '../model/records.ts';
import { formatQuantity } from '../units/format.ts';
import { counted } from '../units/words.ts';
import { observationsInside } from './take-in-round.ts';
import { type Context, fieldsOfFile, onFields, type Taken } from './taking.ts';

export function takeNotes(
  context: Context,
  { observations }: ScoutingRecords,
  notes: NonNullable<ScoutingRecords['notes']>,
): Taken {
  const { farm, incoming, problems } = context;
  const where = { file: incoming.name };
  const fields = fieldsOfFile(context, (within, frame) => observationsInside(observations, within, frame));
  if (fields === null) return null;
  if (notes.farm.id !== farm.id) {
    const text = `These notes were taken on the farm ${notes.farm.name}; they go into ${farm.name}.`;
    problems.push(problem('warning', 'notes-of-another-farm', text, { where, hint: 'Is it the right farm?' }));
  }
  const finds = notes.finds.map((one) => documentFind(one, photoOf(context, one)));
  const merged = mergeFinds(farm, finds);
  for (const { here, brought } of merged.differing) problems.push(differing(here, brought, incoming.name));
  for (const one of merged.added) tellOutside(context, one);
  if (merged.added.length + merged.pictured.length === 0) {
    const known = counted(merged.known.length + merged.differing.length, 'find');
    const text = `The farm has ${merged.known.length === 1 ? 'the' : 'all'} ${known} of ${incoming.name} already: nothing changes.`;
    problems.push(problem('warning', 'finds-known', text, { where }));
    return null;
  }
  if (merged.known.length > 0) {
    const text = `${counted(merged.known.length, 'find')} of ${incoming.name} ${merged.known.length === 1 ? 'is' : 'are'} in the farm already and ${merged.known.length === 1 ? 'stays as it is' : 'stay as they are'}.`;
    problems.push(problem('note', 'finds-known', text, { where }));
  }
  const pictures = merged.pictured.length;
  const brought = [
    ...(merged.added.length > 0 ? [`${counted(merged.added.length, 'find')} of field notes${onFields(fields)}`] : []),
    ...(pictures > 0 ? [`${counted(pictures, 'picture')} of finds that were here`] : []),
  ];
  return {
    summary: brought.join(' and '),
    sets: [
      { path: ['rounds'], value: merged.rounds },
      {
        path: ['thresholdPerM2'],
        value: withSpecies(
          farm,
          merged.added.map((one) => one.species),
        ),
      },
    ],
  };
}

/** Id of the file that is the picture; none, told, where it did not come along. */
function photoOf({ farm, incoming, parts, problems }: Context, { photo }: NotedFind): string | undefined {
  if (photo === undefined) return undefined;
  const file = [...farm.files, ...parts].find((one) => one.sha256 === photo.sha256);
  if (file) return file.id;
  const altered = incoming.parts.some((one) => one.name === photo.name);
  const text = altered
    ? `The picture ${photo.name} is not the one that was taken: it was changed on the way.`
    : `The picture ${photo.name} did not come along.`;
  problems.push(
    problem('warning', 'photo-missing', `${text} The find is taken without it.`, {
      where: { file: incoming.name },
      hint: 'Bring in the .zip that the phone saved, as it is.',
    }),
  );
  return undefined;
}

function differing(here: Find, brought: Find, file: string) {
  const members = new Set([...Object.keys(here), ...Object.keys(brought)] as (keyof Find)[]);
  const text = (value: unknown) => (value === undefined ? 'nothing' : JSON.stringify(value).replace(/"/g, ''));
  const told = [...members]
    .filter((name) => name !== 'photo' && text(here[name]) !== text(brought[name]))
    .map((name) => `${name} is ${text(here[name])} here and ${text(brought[name])} there`);
  return problem(
    'warning',
    'find-differs',
    `The find of ${here.time} differs: ${told.join('; ')}. The farm keeps its own.`,
    {
      where: { file, id: here.id, at: here.at },
      hint: 'If the notes are right, take the count back and type it as they have it.',
    },
  );
}

/** A find in no field is kept and told, with the nearest field and how far it can be off. */
function tellOutside({ farm, incoming, problems }: Context, find: Find): void {
  if (farm.fields.length === 0) return;
  const nearest = nearestField(farm.fields, find.at);
  if (nearest?.awayM === 0) return;
  const { display } = farm;
  const off = find.accuracyM;
  const place =
    nearest === null
      ? 'far from every field'
      : `${formatQuantity(nearest.awayM, 'length', display)} outside ${nearest.field.name}, the nearest field`;
  const may =
    nearest !== null && off !== undefined && off >= nearest.awayM ? ` It may have been in ${nearest.field.name}:` : '';
  const good =
    off === undefined
      ? ''
      : `${may || ' Its'} ${may ? 'its ' : ''}position is good to ${formatQuantity(off, 'length', display)}.`;
  problems.push(
    problem(
      'warning',
      'find-outside',
      `The find of ${find.time} lies ${place}; it is kept and counts in no field.${good}`,
      {
        where: { file: incoming.name, id: find.id, at: find.at },
        hint: 'Look at the place again, or type the count where it belongs.',
      },
    ),
  );
}
