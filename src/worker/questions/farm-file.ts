import { writeArchive } from '../../../shared/import/archive.ts';
import { writeFarmText } from '../../../shared/model/farm-text.ts';
import { done, type Outcome, problem, refused } from '../../../shared/model/problem.ts';
import type { OpenFarm } from '../open-farm.ts';

export interface MadeFarmFile {
  readonly name: string;
  readonly bytes: Uint8Array<ArrayBuffer>;
}

/** A zip without its own 64-bit form holds less than 4 GiB; a page's memory is the closer limit. */
const LARGEST_BYTES = 2 ** 30;

/** The document and every attachment in one zip: the tree that the command line reads. */
export function farmFileQuestion({ farm, attachments }: OpenFarm, _ask: null): Outcome<MadeFarmFile> {
  const total = farm.files.reduce((sum, file) => sum + file.bytes, 0);
  if (total > LARGEST_BYTES) {
    return refused(
      problem('error', 'farm-large', `The files of ${farm.name} come to more than 1 GiB: too much to zip in a page.`, {
        hint: 'Keep the files that you gave; take those of earlier seasons out of the farm before you save it.',
      }),
    );
  }
  const entries = [{ name: 'farm.json', bytes: new TextEncoder().encode(writeFarmText(farm)) }];
  const problems = [];
  for (const sha256 of new Set(farm.files.map((file) => file.sha256))) {
    const { name } = farm.files.find((file) => file.sha256 === sha256)!;
    const source = attachments.open(sha256, name);
    if (source) entries.push({ name: `attachments/${sha256}`, bytes: whole(source.size, source.chunks()) });
    else problems.push(problem('warning', 'attachment-missing', `${name} is missing, also in the farm file.`));
  }
  return done({ name: `${farm.id}.zip`, bytes: writeArchive(entries) as Uint8Array<ArrayBuffer> }, problems);
}

/** The bytes of a source in one array. */
export function whole(size: number, chunks: Iterable<Uint8Array>): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(size);
  let at = 0;
  for (const chunk of chunks) {
    bytes.set(chunk, at);
    at += chunk.length;
  }
  return bytes;
}
