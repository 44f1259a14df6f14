import type { Problem } from '../../../shared/model/problem.ts';
import type { OpenFarm } from '../open-farm.ts';

/** Keeps files byte for byte before the edit that names them. @returns what could not be kept on this machine */
export async function keepAttachmentsQuestion(
  open: OpenFarm,
  ask: { readonly files: readonly { readonly sha256: string; readonly name: string; readonly blob: Blob }[] },
): Promise<readonly Problem[]> {
  const problems: Problem[] = [];
  for (const { sha256, name, blob } of ask.files) problems.push(...(await open.attachments.add(sha256, name, blob)));
  return problems;
}

/** Hashes of files that the document names and that are not here: bringing one in again mends the farm. */
export function lostAttachmentsQuestion(open: OpenFarm, _ask: null): readonly string[] {
  return open.farm.files.flatMap(({ sha256, name }) => (open.attachments.open(sha256, name) === null ? [sha256] : []));
}
