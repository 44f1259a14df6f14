/** A direction in words. */
const WORDS = ['north', 'north-east', 'east', 'south-east', 'south', 'south-west', 'west', 'north-west'] as const;

/** The nearest of the eight winds. @param bearingDeg clockwise from north; any turn */
export function compassWord(bearingDeg: number): (typeof WORDS)[number] {
  const eighth = Math.round(bearingDeg / 45) % 8;
  return WORDS[(eighth + 8) % 8]!;
}
