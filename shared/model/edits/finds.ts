/** Finds: counts marked in the field, each known by its id. */
import type { Edit } from '../edit.ts';
import type { Farm, FarmFile } from '../farm.ts';
import { type Find, isFind, isSameFind } from '../field-notes.ts';
import type { Named } from './named.ts';
import { changeRound, withSpecies } from './rounds.ts';

/** @param where its field; null outside every one @param photo the picture that it names, kept already */
export function markFind(farm: Farm, find: Find, species: Named, where: Named | null, photo: FarmFile | null): Edit {
  return {
    label: `Mark ${species.name} ${where === null ? 'outside every field' : `in ${where.name}`}`,
    sets: [
      ...(photo === null ? [] : [{ path: ['files'], value: [...farm.files, photo] }]),
      { path: ['rounds'], value: withFind(farm, find) },
      { path: ['thresholdPerM2'], value: withSpecies(farm, [find.species]) },
    ],
  };
}

/** Takes it back with its picture. @throws where there is no such find */
export function takeBackFind(farm: Farm, id: string, species: Named): Edit {
  const at = farm.rounds.findIndex((round) => round.typed.some((one) => one.id === id));
  const typed = farm.rounds[at]?.typed;
  const find = typed?.find((one) => one.id === id);
  if (!typed || !find) throw new Error(`takeBackFind: no find ${id}`);
  const sets = [{ path: ['rounds', at, 'typed'], value: typed.filter((one) => one !== find) }];
  const isAlone = farm.files.some((one) => one.id === find.photo && one.kind === 'photo' && !isNamedTwice(farm, one));
  return {
    label: `Take back ${species.name}, marked in the field`,
    sets: isAlone ? [...sets, { path: ['files'], value: farm.files.filter((one) => one.id !== find.photo) }] : sets,
  };
}

function isNamedTwice(farm: Farm, photo: FarmFile): boolean {
  const named = farm.rounds.flatMap((round) => round.typed.filter((one) => one.photo === photo.id));
  return named.length > 1 || farm.files.some((one) => one.parts?.includes(photo.id));
}

export interface MergedFinds {
  readonly rounds: Farm['rounds'];
  /** New to the farm. */
  readonly added: readonly Find[];
  /** Here already, the same. */
  readonly known: readonly Find[];
  /** Here already without a picture, which comes now. */
  readonly pictured: readonly Find[];
  /** Here already, saying something else: the farm keeps its own. */
  readonly differing: readonly { readonly here: Find; readonly brought: Find }[];
}

/** What is known by its id stays as the farm has it, but for a picture that it lacked; what is new joins the round of its day. Merged again, nothing changes. */
export function mergeFinds(farm: Farm, finds: readonly Find[]): MergedFinds {
  const here = new Map(farm.rounds.flatMap((round) => round.typed.filter(isFind).map((one) => [one.id, one])));
  const added: Find[] = [];
  const known: Find[] = [];
  const pictured: Find[] = [];
  const differing: { here: Find; brought: Find }[] = [];
  let now = farm;
  for (const find of finds) {
    const own = here.get(find.id);
    if (own) {
      if (!isSameFind(own, find)) differing.push({ here: own, brought: find });
      else if (own.photo !== undefined || find.photo === undefined) known.push(own);
      else {
        here.set(find.id, find);
        pictured.push(find);
        now = { ...now, rounds: withPicture(now, own, find.photo) };
      }
      continue;
    }
    here.set(find.id, find);
    added.push(find);
    now = { ...now, rounds: withFind(now, find) };
  }
  return { rounds: now.rounds, added, known, pictured, differing };
}

function withPicture(farm: Farm, find: Find, photo: string): Farm['rounds'] {
  return farm.rounds.map((round) =>
    round.typed.some((one) => one.id === find.id)
      ? { ...round, typed: round.typed.map((one) => (one.id === find.id ? { ...one, photo } : one)) }
      : round,
  );
}

function withFind(farm: Farm, find: Find): Farm['rounds'] {
  const days = { season: Number(find.on.slice(0, 4)), from: find.on, to: find.on };
  return changeRound(farm, days, (round) => ({ ...round, typed: [...round.typed, find] }));
}
