const written = new Intl.DateTimeFormat('en-US', { dateStyle: 'medium', timeStyle: 'short' });

/** "Nov 25, 2026, 6:03 PM", where the person is. */
export function dayAndTime(milliseconds: number): string {
  return written.format(milliseconds);
}
