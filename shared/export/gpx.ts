/** Places to walk to, in their order, as GPX 1.1 waypoints and one route (Topografix, GPX 1.1 schema). */

export interface GpxPlace {
  readonly lon: number;
  readonly lat: number;
  readonly name: string;
  /** What to do there. */
  readonly says: string;
}

/** @throws on a position that is nowhere */
export function gpxText(title: string, places: readonly GpxPlace[]): string {
  for (const { lon, lat, name } of places) {
    if (!(Math.abs(lon) <= 180 && Math.abs(lat) <= 90)) throw new RangeError(`gpxText: ${name} is at ${lon}, ${lat}`);
  }
  const point = (tag: 'wpt' | 'rtept', { lon, lat, name, says }: GpxPlace) => [
    `  <${tag} lat="${degrees(lat)}" lon="${degrees(lon)}">`,
    `    <name>${escaped(name)}</name>`,
    `    <desc>${escaped(says)}</desc>`,
    `  </${tag}>`,
  ];
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<gpx version="1.1" creator="Seedfall" xmlns="http://www.topografix.com/GPX/1/1">',
    `  <metadata><name>${escaped(title)}</name></metadata>`,
    ...places.flatMap((one) => point('wpt', one)),
    '  <rte>',
    `    <name>${escaped(title)}</name>`,
    ...places.flatMap((one) => point('rtept', one).map((line) => `  ${line}`)),
    '  </rte>',
    '</gpx>',
    '',
  ].join('\n');
}

/** A centimeter and better. */
function degrees(value: number): string {
  return value.toFixed(7);
}

/** XML 1.0: the five marks escaped; control characters that no XML may hold are left out. */
function escaped(text: string): string {
  return [...text]
    .filter((one) => one >= ' ' || one === '\t' || one === '\n')
    .map((one) => ESCAPES[one] ?? one)
    .join('');
}
const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
};
