/** Answers for many fields to one question. */
export interface Wanted<T> {
  /** What is asked, in words: answers to something else are not shown in its place. */
  readonly subject: string;
  /** Answers of an older generation stay until all newer ones are there. */
  readonly generation: number;
  readonly fields: readonly string[];
  ask(field: string): Promise<T | null>;
}

/** By field, in turn; fields without an answer are left out. @returns null where it was given up */
export async function gatherAnswers<T>(
  { fields, ask }: Wanted<T>,
  isLatest: () => boolean,
): Promise<ReadonlyMap<string, T> | null> {
  const of = new Map<string, T>();
  for (const field of fields) {
    const answer = await ask(field);
    if (!isLatest()) return null;
    if (answer !== null) of.set(field, answer);
  }
  return of;
}
