import { appendFileSync, mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const folder = fileURLToPath(new URL('../../test-results/', import.meta.url));

/**
 * Notes the largest difference seen against the outside world, one line a quantity, in test-results/agreement.jsonl.
 * README's table of agreement is read from there.
 */
export function recordAgreement(
  topic: string,
  what: string,
  largestError: number,
  tolerance: number,
  unit: string,
): void {
  mkdirSync(folder, { recursive: true });
  appendFileSync(`${folder}agreement.jsonl`, `${JSON.stringify({ topic, what, largestError, tolerance, unit })}\n`);
}
