/**
 * What comes along when a whole folder is dropped and is no record: pictures, films, documents, leftovers of the system. Known
 * by the ending of its name, or by its first bytes where the ending says nothing; left alone and said once, not file by file.
 */
import { listed } from '../units/words.ts';

export type Aside = 'picture' | 'film' | 'sound' | 'document' | 'leftover';

const ENDINGS: Readonly<Record<Aside, RegExp>> = {
  picture: /\.(jpe?g|png|gif|webp|heic|heif|avif|bmp|tiff?|dng|raw|cr2|nef|svg)$/i,
  film: /\.(mp4|mov|avi|mkv|webm|m4v|3gp)$/i,
  sound: /\.(mp3|wav|m4a|aac|ogg|flac)$/i,
  document: /\.(pdf|docx?|odt|rtf|pptx?|odp|md|html?)$/i,
  leftover: /(^|\/)(\.DS_Store|Thumbs\.db|desktop\.ini|\._.*|~\$.*|\..*\.sw[op])$/i,
};

export function isPictureName(name: string): boolean {
  return ENDINGS.picture.test(name);
}

const ANY_ENDING = /\.\w{1,8}$/;

/** First bytes as Latin letters. */
const STARTS: readonly (readonly [Aside, RegExp])[] = [
  ['picture', /^(\xff\xd8\xff|\x89PNG|GIF8|II\*\0|MM\0\*)/],
  ['picture', /^RIFF[^]{4}WEBP/],
  ['picture', /^[^]{4}ftyp(heic|heix|mif1|avif)/],
  ['film', /^[^]{4}ftyp/],
  ['document', /^%PDF-/],
];

/** @param head the file's first bytes; only asked where the name has no ending. @returns null where it may be a record */
export function asideOf(name: string, head: () => Uint8Array): Aside | null {
  for (const [aside, ending] of Object.entries(ENDINGS)) if (ending.test(name)) return aside as Aside;
  if (ANY_ENDING.test(name)) return null;
  let start = '';
  for (const byte of head().subarray(0, 32)) start += String.fromCharCode(byte);
  return STARTS.find(([, letters]) => letters.test(start))?.[0] ?? null;
}

const WORDS: Readonly<Record<Aside, readonly [one: string, many: string]>> = {
  picture: ['picture', 'pictures'],
  film: ['film', 'films'],
  sound: ['sound recording', 'sound recordings'],
  document: ['document', 'documents'],
  leftover: ['file that the system left behind', 'files that the system left behind'],
};

/** "37 pictures and 2 documents were left alone: they hold no records." '' of none. */
export function asideSentence(asides: readonly Aside[]): string {
  const told = (Object.keys(WORDS) as Aside[]).flatMap((aside) => {
    const count = asides.filter((one) => one === aside).length;
    return count === 0 ? [] : [`${count} ${WORDS[aside][count === 1 ? 0 : 1]}`];
  });
  if (told.length === 0) return '';
  const list = listed(told);
  return asides.length === 1
    ? `${list} was left alone: it holds no records.`
    : `${list} were left alone: they hold no records.`;
}
