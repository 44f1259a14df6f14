import { problem, type Problem } from '../../../shared/model/problem.ts';

const GONE = new Set(['NotReadableError', 'NotFoundError', 'SecurityError', 'AbortError']);

/** What a person's file or machine can cause while it is read, as a problem. @throws everything else, unchanged */
export function fileFault(error: unknown, file: string): Problem {
  const where = { file };
  if (error instanceof DOMException && GONE.has(error.name)) {
    return problem('error', 'file-unreadable', `${file} could not be read: it was moved or changed meanwhile.`, {
      where,
      hint: 'Drop it again.',
    });
  }
  // An array or a text that is larger than the browser gives.
  if (error instanceof RangeError) {
    return problem('error', 'file-large', `${file} does not fit into this page’s memory.`, {
      where,
      hint: 'Split it, or bring it in on the command line: seedfall add FARM FILE.',
    });
  }
  throw error;
}
