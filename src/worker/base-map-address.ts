/**
 * The address of a base map that a person typed: a pattern of picture tiles, https://…/{z}/{x}/{y}.png. Tiles are asked for under this
 * page's own origin; the service worker fetches them from the one origin that was switched on.
 */

export const BASE_MAP_PATH = 'base-map/';
const DEEPEST_ZOOM = 24;

export type CheckedAddress =
  | { readonly ok: true; readonly address: string; readonly origin: string }
  | { readonly ok: false; readonly text: string; readonly hint: string };

const LIKE = 'It looks like https://tiles.example/{z}/{x}/{y}.png.';

export function checkAddress(typed: string): CheckedAddress {
  const address = typed.trim();
  const refused = (text: string, hint = LIKE): CheckedAddress => ({ ok: false, text, hint });
  if (address === '') return refused('No address was typed.');
  const missing = ['{z}', '{x}', '{y}'].filter((one) => !address.includes(one));
  if (missing.length > 0) return refused(`The address lacks ${missing.join(' and ')}.`);
  const other = address.replace(/\{[zxy]\}/g, '').match(/\{[^}]*\}?/);
  if (other)
    return refused(`${other[0]} in the address is not known here.`, `Only {z}, {x} and {y} are filled in. ${LIKE}`);
  let url: URL;
  try {
    url = new URL(filled(address, { z: 1, x: 2, y: 3 }));
  } catch {
    return refused('This is not a whole address.');
  }
  const isHere = url.hostname === 'localhost' || url.hostname === '127.0.0.1' || url.hostname === '[::1]';
  if (url.protocol !== 'https:' && !(url.protocol === 'http:' && isHere)) {
    return refused('The address must begin with https://.', 'Without it anybody on the way could see where you look.');
  }
  if (url.username !== '' || url.password !== '') {
    return refused('The address holds a user name or password.', 'Leave them out: they would be kept in plain text.');
  }
  const again = new URL(filled(address, { z: 4, x: 5, y: 6 }));
  if (again.origin !== url.origin) return refused('{z}, {x} and {y} must come after the name of the server.');
  return { ok: true, address, origin: url.origin };
}

export interface Tile {
  readonly z: number;
  readonly x: number;
  readonly y: number;
}

export function filled(address: string, { z, x, y }: Tile): string {
  const value: Record<string, number> = { '{z}': z, '{x}': x, '{y}': y };
  return address.replace(/\{[zxy]\}/g, (word) => String(value[word]));
}

/** The tile that a path of this origin asks for; null where it is not the path of a tile. */
export function tileIn(pathname: string): Tile | null {
  const match = /\/base-map\/(\d{1,2})\/(\d{1,8})\/(\d{1,8})$/.exec(pathname);
  if (!match) return null;
  const [z, x, y] = match.slice(1).map(Number) as [number, number, number];
  return z <= DEEPEST_ZOOM && x < 2 ** z && y < 2 ** z ? { z, x, y } : null;
}
