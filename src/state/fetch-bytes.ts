/** A file of this page's own origin, with its progress. @throws where the server refuses */
export async function fetchBytes(
  address: string,
  signal: AbortSignal,
  onProgress: (done: number, total: number) => void,
): Promise<ArrayBuffer> {
  const response = await fetch(address, { signal });
  if (!response.ok || !response.body) throw new Error(`the server answered ${response.status}`);
  const total = Number(response.headers.get('Content-Length') ?? 0);
  const parts: Uint8Array[] = [];
  let done = 0;
  for (const reader = response.body.getReader(); ;) {
    const part = await reader.read();
    if (part.done) break;
    parts.push(part.value);
    done += part.value.length;
    onProgress(done, total);
  }
  const bytes = new Uint8Array(done);
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes.buffer;
}
