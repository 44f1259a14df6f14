/** How wide a strip was looked over along a walked track: said by a person, never guessed. */
import type { Edit } from '../edit.ts';
import type { Farm } from '../farm.ts';

/** @param widthM above 0; null takes it back @throws where there is no such file */
export function sayWalkedWidth(farm: Farm, file: string, widthM: number | null): Edit {
  const at = farm.files.findIndex((one) => one.id === file);
  const known = farm.files[at];
  if (!known) throw new Error(`sayWalkedWidth: no file ${file}`);
  const { walkedWidthM: _before, ...reading } = known.reading;
  const said = { ...known, reading: widthM === null ? reading : { ...reading, walkedWidthM: widthM } };
  return {
    label: `Say how wide a strip was looked over in ${known.name}`,
    sets: [{ path: ['files'], value: farm.files.map((one, index) => (index === at ? said : one)) }],
  };
}
