import { describe, expect, it } from 'vitest';
import { chooseCodePage } from '../../../shared/import/code-page.ts';

const utf8 = new TextEncoder().encode('Núñez 東');
const latin = Uint8Array.from('Núñez', (letter) => letter.charCodeAt(0));
const decoded = (cpg: string | null, byte: number, sample: Uint8Array) =>
  chooseCodePage(cpg, byte, sample).decode(sample);

describe('letters of a .dbf', () => {
  it.each([
    ['UTF-8', 0, utf8, 'Núñez 東'],
    ['65001', 0, utf8, 'Núñez 東'],
    ['ISO-8859-1', 0, latin, 'Núñez'],
    ['ISO 88591', 0, latin, 'Núñez'],
    ['1252', 0, latin, 'Núñez'],
    ['ANSI 1252', 0, latin, 'Núñez'],
    [null, 0x57, latin, 'Núñez'],
    ['OEM 437', 0, Uint8Array.of(0x4e, 0xa3, 0xa4, 0x65, 0x7a), 'Núñez'],
    [null, 0x02, Uint8Array.of(0x4e, 0xa3, 0xa4, 0x65, 0x7a, 0xe1), 'Núñezß'],
    [null, 0xc9, Uint8Array.of(0xcf, 0xee, 0xeb, 0xe5), 'Поле'],
  ])('.cpg %s, language byte %i', (cpg, byte, sample, text) => {
    expect(decoded(cpg, byte, sample)).toBe(text);
    expect(chooseCodePage(cpg, byte, sample).doubt).toBeNull();
  });

  it('valid UTF-8 wins over what the file says, and that is told as a contradiction', () => {
    const page = chooseCodePage(null, 0x57, utf8);
    expect(page.decode(utf8)).toBe('Núñez 東');
    expect(page).toMatchObject({ contradicted: true, doubt: expect.stringMatching(/windows-1252.*UTF-8/) as string });
  });

  it('where nothing is said, a guess is told as one', () => {
    expect(chooseCodePage(null, 0, utf8)).toMatchObject({
      contradicted: false,
      doubt: expect.stringMatching(/UTF-8/) as string,
    });
    expect(chooseCodePage(null, 0, latin)).toMatchObject({
      contradicted: false,
      doubt: expect.stringMatching(/1252/) as string,
    });
    expect(chooseCodePage('klingon', 0, latin)).toMatchObject({
      contradicted: true,
      doubt: expect.stringMatching(/klingon/) as string,
    });
  });

  it('UTF-8 that is not: cell by cell, told', () => {
    const mixed = Uint8Array.from([...utf8, 10, ...latin]);
    const page = chooseCodePage('UTF-8', 0, mixed);
    expect([page.decode(utf8), page.decode(latin)]).toEqual(['Núñez 東', 'Núñez']);
    expect(page.contradicted).toBe(true);
  });
});
