/** A picture made smaller before it is kept: notes stay small, and what a camera writes beside a picture (place, owner) stays behind. */
import { digestOf } from '../../../shared/analysis/digest.ts';
import type { FarmFile } from '../../../shared/model/farm.ts';

const LONGEST_PX = 1600;
const QUALITY = 0.8;

export interface Picture {
  readonly file: FarmFile;
  readonly blob: Blob;
}

/** null where the browser cannot read it. */
export async function smallPicture(given: Blob): Promise<Picture | null> {
  const bitmap = await createImageBitmap(given).catch(() => null);
  if (bitmap === null) return null;
  const scale = Math.min(1, LONGEST_PX / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(bitmap.width * scale));
  canvas.height = Math.max(1, Math.round(bitmap.height * scale));
  canvas.getContext('2d')?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  const blob = await new Promise<Blob | null>((give) => canvas.toBlob(give, 'image/jpeg', QUALITY));
  if (blob === null) return null;
  const sha256 = digestOf(new Uint8Array(await blob.arrayBuffer()));
  const file: FarmFile = {
    id: `f-${sha256.slice(0, 12)}`,
    sha256,
    name: `picture-${sha256.slice(0, 8)}.jpg`,
    bytes: blob.size,
    kind: 'photo',
    reading: { importer: 'photo', columns: {} },
  };
  return { file, blob };
}
