/** The buffers of typed arrays in an answer: answers are copies made for the screen, so that their memory can be handed over. */
export function transferablesIn(value: unknown): Transferable[] {
  const found = new Set<ArrayBuffer>();
  gather(value, found, 0);
  return [...found];
}

const DEEPEST = 4;

function gather(value: unknown, found: Set<ArrayBuffer>, depth: number): void {
  if (typeof value !== 'object' || value === null || depth > DEEPEST) return;
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer) found.add(value.buffer);
  } else if (Array.isArray(value)) {
    // Long lists are rows of plain values.
    for (const one of value.slice(0, 64)) gather(one, found, depth + 1);
  } else for (const one of Object.values(value)) gather(one, found, depth + 1);
}
