/**
 * XML as elements with the lines that they stand on. What a file of records never needs is refused: a document type, whose entities can
 * swell a small file or name others, and any mark that is not well formed.
 */
import { DOMParser, type Element } from '@xmldom/xmldom';
import { done, type Outcome, problem, refused } from '../model/problem.ts';

export type XmlElement = Element;

/** Elements take some fifty times their text in memory. */
const LARGEST_BYTES = 8 * 2 ** 20;
const ELEMENT = 1;

/** @param file its name, for what is told */
export function readXml(bytes: Uint8Array, file: string): Outcome<XmlElement> {
  const wrong = (code: string, text: string, hint: string, row?: number) =>
    refused(problem('error', code, text, { where: { file, ...(row === undefined ? {} : { row }) }, hint }));
  if (bytes.length > LARGEST_BYTES)
    return wrong('file-large', `${file} is larger than 8 MiB.`, 'Save it in pieces, a day each, and bring those in.');
  const text = decoded(bytes);
  if (text === null)
    return wrong('xml-encoding', `${file} is in an encoding that cannot be read.`, 'Save it again as UTF-8.');
  const type = /<!(DOCTYPE|ENTITY)/i.exec(text);
  if (type)
    return wrong(
      'xml-document-type',
      `${file} has a document type or entities of its own (line ${lineAt(text, type.index)}); that is refused, since it can hide anything.`,
      'Save it again without them.',
    );
  let first: { readonly text: string; readonly line: number } | null = null;
  const onError = (_level: string, message: string, { locator }: { locator?: { lineNumber?: number } }): void => {
    first ??= { text: message.replace(/\s+/g, ' ').slice(0, 120), line: Math.max(1, locator?.lineNumber ?? 1) };
    throw new Error(message);
  };
  let root: XmlElement | null = null;
  try {
    root = new DOMParser({ onError }).parseFromString(text, 'text/xml').documentElement;
  } catch (error) {
    first ??= { text: error instanceof Error ? error.message.slice(0, 120) : 'it is not XML', line: 1 };
  }
  const fault = first as { readonly text: string; readonly line: number } | null;
  if (fault || !root) {
    const { line, text: said } = fault ?? { line: 1, text: 'it has no element' };
    return wrong(
      'xml-broken',
      `${file} is damaged or cut short: line ${line} is not well-formed XML (${said}).`,
      'Save it again from where it came, and bring in the whole file.',
      line,
    );
  }
  return done(root);
}

/** Children of that name, whatever their namespace. */
export function* childrenOf(element: XmlElement, name: string): Generator<XmlElement, void, void> {
  for (let one = element.firstChild; one !== null; one = one.nextSibling)
    if (one.nodeType === ELEMENT && (one as Element).localName === name) yield one as Element;
}

/** Text of the first child of that name, trimmed; '' where there is none. */
export function textOf(element: XmlElement, name: string): string {
  for (const one of childrenOf(element, name)) return (one.textContent ?? '').trim();
  return '';
}

/** By its byte order mark, else by what its first line declares, else UTF-8. */
function decoded(bytes: Uint8Array): string | null {
  const [a, b] = bytes;
  const head = new TextDecoder('windows-1252').decode(bytes.subarray(0, 200));
  const declared = /^[^<]*<\?xml[^>]*encoding\s*=\s*["']([\w.-]+)["']/i.exec(head)?.[1];
  const label = a === 0xff && b === 0xfe ? 'utf-16le' : a === 0xfe && b === 0xff ? 'utf-16be' : (declared ?? 'utf-8');
  try {
    return new TextDecoder(label, { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

function lineAt(text: string, index: number): number {
  return text.slice(0, index).split('\n').length;
}
