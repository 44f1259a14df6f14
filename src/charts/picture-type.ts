/** The page's type as rules that travel inside a picture: an image on a canvas may not fetch anything. */
import regular from '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-400-normal.woff2?url';
import bold from '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-700-normal.woff2?url';

let rules: Promise<string> | null = null;

/** From the page's own origin, once. */
export function pictureType(): Promise<string> {
  return (rules ??= Promise.all([ruleOf(regular, 400), ruleOf(bold, 700)]).then((both) => both.join('')));
}

async function ruleOf(address: string, weight: number): Promise<string> {
  const bytes = new Uint8Array(await (await fetch(address)).arrayBuffer());
  let letters = '';
  for (const byte of bytes) letters += String.fromCharCode(byte);
  const source = `url(data:font/woff2;base64,${btoa(letters)}) format('woff2')`;
  return `@font-face{font-family:'Atkinson Hyperlegible';font-weight:${weight};src:${source}}`;
}
