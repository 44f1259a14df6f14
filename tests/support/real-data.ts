import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Path of a real open data file beside the repository, or null where the folder is missing (said aloud). */
export function realDataPath(relative: string): string | null {
  const path = fileURLToPath(new URL(`../../../shared/data/${relative}`, import.meta.url));
  if (existsSync(path)) return path;
  console.warn(`skipped: real open data ${relative} is not beside the repository`);
  return null;
}
