/**
 * Which letters the bytes of a .dbf mean: the .cpg, else the language byte, but valid UTF-8 with multi-byte letters wins over
 * both, for no other code page makes it by chance.
 * @source Language bytes: dBase and FoxPro lists (memory); reference/file-interop (dbf-codepage-wrong, shapefile-latin1).
 */

export type Decode = (bytes: Uint8Array) => string;

export interface CodePage {
  readonly decode: Decode;
  /** As told to the person: “Windows-1252 (from the .cpg)”. */
  readonly name: string;
  /** A sentence where the file was not believed, or said nothing and it mattered. */
  readonly doubt: string | null;
  /** The file says otherwise than its bytes. */
  readonly contradicted: boolean;
}

/** The upper halves of the DOS code pages, which TextDecoder does not know; common practice, from memory. */
const CP437 =
  'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u00a0';
const CP850 =
  'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒáíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐└┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u00ad±‗¾¶§÷¸°¨·¹³²■\u00a0';

const BY_LANGUAGE_BYTE: Record<number, string> = {
  0x01: 'cp437',
  0x02: 'cp850',
  0x03: 'windows-1252',
  0x08: 'cp437',
  0x09: 'cp437',
  0x0a: 'cp850',
  0x0b: 'cp437',
  0x0d: 'cp437',
  0x0e: 'cp850',
  0x0f: 'cp437',
  0x10: 'cp850',
  0x11: 'cp437',
  0x12: 'cp850',
  0x13: 'shift_jis',
  0x14: 'cp850',
  0x15: 'cp437',
  0x16: 'cp850',
  0x17: 'cp850',
  0x18: 'cp437',
  0x19: 'cp437',
  0x1a: 'cp850',
  0x1b: 'cp437',
  0x1d: 'cp850',
  0x26: 'ibm866',
  0x37: 'cp850',
  0x4d: 'gbk',
  0x4e: 'euc-kr',
  0x4f: 'big5',
  0x50: 'windows-874',
  0x57: 'windows-1252',
  0x58: 'windows-1252',
  0x59: 'windows-1252',
  0x65: 'ibm866',
  0x78: 'big5',
  0x79: 'euc-kr',
  0x7a: 'gbk',
  0x7b: 'shift_jis',
  0x7c: 'windows-874',
  0xc8: 'windows-1250',
  0xc9: 'windows-1251',
  0xca: 'windows-1254',
  0xcb: 'windows-1253',
  0xcc: 'windows-1257',
};

/**
 * @param cpg text of the .cpg, or null @param languageByte byte 29 of the .dbf
 * @param sample the bytes of all text cells that hold a byte above 127, joined by line ends; empty where there is none
 */
export function chooseCodePage(cpg: string | null, languageByte: number, sample: Uint8Array): CodePage {
  const fromCpg = cpg === null || cpg.trim() === '' ? null : labelOf(cpg.trim());
  const fromByte = BY_LANGUAGE_BYTE[languageByte] ?? null;
  const said = fromCpg ?? fromByte;
  const from = fromCpg === null ? 'the language byte of the .dbf' : 'the .cpg';
  const name = said === null ? null : `${said} (from ${from})`;
  if (sample.length === 0) {
    return {
      decode: decoderOf(said ?? 'utf-8')!,
      name: name ?? 'plain letters only',
      doubt: null,
      contradicted: false,
    };
  }
  const isUtf8 = validUtf8(sample);
  if (said === 'utf-8' && !isUtf8) {
    return {
      decode: (bytes) => (validUtf8(bytes) ? decoderOf('utf-8')! : decoderOf('windows-1252')!)(bytes),
      name: 'UTF-8 with exceptions',
      doubt: `The attributes should be UTF-8 by ${from}, but some are not; those are read as Windows-1252`,
      contradicted: true,
    };
  }
  if (isUtf8 && said !== 'utf-8') {
    const doubt =
      said === null
        ? 'Nothing says which letters the attributes use; the bytes are valid UTF-8 and are read so'
        : `${said} is named by ${from}, but the bytes are valid UTF-8 and are read so`;
    return { decode: decoderOf('utf-8')!, name: 'UTF-8 (by its bytes)', doubt, contradicted: said !== null };
  }
  const decode = said === null ? null : decoderOf(said);
  if (decode !== null) return { decode, name: name!, doubt: null, contradicted: false };
  return {
    decode: decoderOf('windows-1252')!,
    name: 'Windows-1252 (a guess)',
    doubt:
      said === null
        ? 'Nothing says which letters the attributes use; they are read as Windows-1252'
        : `The letters “${said}” named by ${from} are not known here; they are read as Windows-1252`,
    contradicted: said !== null,
  };
}

function labelOf(cpg: string): string {
  const text = cpg.toLowerCase();
  if (/^(utf-?8|65001)$/.test(text)) return 'utf-8';
  const iso = /(?:iso)?[-_ ]?8859[-_ ]?(\d{1,2})$/.exec(text);
  if (iso) return `iso-8859-${iso[1]}`;
  const number = /(\d{3,5})$/.exec(text)?.[1];
  if (number === '437' || number === '850') return `cp${number}`;
  if (number === '866') return 'ibm866';
  if (number !== undefined && (/^125\d$/.test(number) || number === '874')) return `windows-${number}`;
  if (number === '932') return 'shift_jis';
  if (number === '936') return 'gbk';
  if (number === '949') return 'euc-kr';
  if (number === '950') return 'big5';
  return text;
}

function decoderOf(label: string): Decode | null {
  if (label === 'cp437' || label === 'cp850') {
    const upper = label === 'cp437' ? CP437 : CP850;
    return (bytes) => {
      let text = '';
      for (const byte of bytes) text += byte < 128 ? String.fromCharCode(byte) : upper.charAt(byte - 128);
      return text;
    };
  }
  try {
    const decoder = new TextDecoder(label);
    return (bytes) => decoder.decode(bytes);
  } catch {
    return null;
  }
}

function validUtf8(bytes: Uint8Array): boolean {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return true;
  } catch {
    return false;
  }
}
