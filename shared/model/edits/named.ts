/** What an edit speaks of by name: a field, a weed, a crop. */
export interface Named {
  readonly id: string;
  readonly name: string;
}
