/** What a stop that went out says of itself, so that it is known again when it comes back: a place to look at, not one that was. */

/** @param weed as people call it @param ground as people say it @param worth "would settle 2 ac" */
export function stopSays(weed: string, ground: string, worth: string): string {
  return `Count ${weed} on ${ground}, zeros too; ${worth}.`;
}

export function isStopText(text: string): boolean {
  return /^Count .+ on .+, zeros too; .+\.$/.test(text.trim());
}
