/** A span of time in words: "12 min", "1 h 5 min". */
export function spanText(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  const rest = minutes % 60;
  if (minutes < 60) return `${minutes} min`;
  return rest === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${rest} min`;
}
