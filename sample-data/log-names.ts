/** What the logs are called, and which of them came from another screen. */
import type { SampleField } from './layout.ts';

/** The field whose log is in pounds, feet and miles, with local time and other names. */
export const US_LOG = 'North Flat';

export function logPath(field: SampleField): string {
  return `harvest-2026/${field.id}.csv`;
}
