import type { Farm } from '../../../shared/model/farm.ts';

/** The letter of a zone: the drawn or accepted one's own, else the end of the id that a study gave it ("home-A"). */
export function zoneLetter(farm: Pick<Farm, 'zoneSets'>, id: string): string {
  const drawn = farm.zoneSets.flatMap((set) => set.zones).find((one) => one.id === id);
  return drawn?.letter ?? id.slice(id.lastIndexOf('-') + 1);
}
