/** Hands the person a file that was made here; nothing leaves the machine. */
export function saveFile(name: string, type: string, parts: BlobPart[]): void {
  const address = URL.createObjectURL(new Blob(parts, { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser takes the address at the press; a moment later it is no longer needed.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** A name that every file system takes. */
export function fileName(...parts: readonly string[]): string {
  const plain = parts
    .join(' ')
    .normalize('NFKD')
    .replace(/[^\p{L}\p{N}._-]+/gu, '-');
  return plain.replace(/^-+|-+$/g, '').slice(0, 80) || 'table';
}
