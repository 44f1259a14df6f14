import type { OpenFarm } from '../open-farm.ts';

/** The farm is another tab's, or about to be deleted: what was computed is put away, and nothing is written any more. */
export async function closeFarmQuestion(open: OpenFarm, _ask: null): Promise<null> {
  await open.close();
  return null;
}
