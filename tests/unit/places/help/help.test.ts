import { describe, expect, test } from 'vitest';
import { hasParameter } from '../../../../shared/agronomy/parameter.ts';
import { cautionsFor } from '../../../../shared/agronomy/cautions.ts';
import { findTerms, GLOSSARY } from '../../../../src/places/help/glossary.ts';
import { parametersIn, withNumbers } from '../../../../src/places/help/help-page.ts';
import { fullCitation, isCited, shortCitation } from '../../../../src/places/help/method-sources.ts';
import { HELP_PAGES } from '../../../../src/places/help/pages.ts';
import { PLACES } from '../../../../src/state/places.ts';

const pages = PLACES.map(({ id }) => ({ id, page: HELP_PAGES[id] }));
const paragraphs = pages.flatMap(({ id, page }) =>
  page.parts.flatMap((part) => part.paragraphs.map((one) => ({ id, ...one, shown: withNumbers(one.text) }))),
);
const words = (text: string) => text.split(/\s+/).filter((one) => /\p{L}/u.test(one));

describe('a page of help', () => {
  test('stands in each of the six places, as a sentence with parts, cautions and words', () => {
    expect(Object.keys(HELP_PAGES).sort()).toEqual(PLACES.map((one) => one.id).sort());
    for (const { page } of pages) {
      expect(page.parts.length).toBeGreaterThanOrEqual(3);
      expect(words(page.title).length).toBeGreaterThan(7);
      expect(cautionsFor(page.cautions).length).toBeGreaterThan(0);
      expect(page.words.length).toBeGreaterThan(3);
    }
  });
  test('rests each paragraph on sources that are known', () => {
    const unknown = paragraphs.flatMap(({ sources }) => sources.filter((key) => !isCited(key)));
    expect(unknown).toEqual([]);
    expect(paragraphs.filter(({ sources }) => sources.length === 0)).toEqual([]);
    for (const key of paragraphs.flatMap((one) => one.sources)) expect(fullCitation(key).length).toBeGreaterThan(10);
  });
  test('takes its numbers from the parameters, with their ranges', () => {
    const ids = paragraphs.flatMap((one) => parametersIn(one.text));
    expect(ids.length).toBeGreaterThan(12);
    expect(ids.filter((id) => !hasParameter(id))).toEqual([]);
    expect(paragraphs.filter(({ shown }) => /[{}|]|NaN|undefined/.test(shown))).toEqual([]);
    expect(withNumbers('{waterhemp.seedbank.survival.tilled|%} is left')).toBe('45% (25% to 65%) is left');
  });
  test('speaks in short sentences of plain words', () => {
    for (const { id, shown } of paragraphs) {
      const sentences = shown.split(/(?<=[.;:])\s/);
      const longest = Math.max(...sentences.map((one) => words(one).length));
      expect([id, shown, longest <= 32]).toEqual([id, shown, true]);
      const letters = words(shown).join('').length / words(shown).length;
      expect([id, shown, letters < 5.6]).toEqual([id, shown, true]);
    }
  });
  test('says a caution of product and rate wherever a herbicide is spoken of', () => {
    for (const { page } of pages) {
      const text = JSON.stringify(page.parts);
      if (/residual|label|herbicide/i.test(text))
        expect(page.cautions).toEqual(expect.arrayContaining(['product', 'rate']));
      if (/combine|machine/i.test(text))
        expect(page.cautions.some((one) => ['machine', 'estimates'].includes(one))).toBe(true);
    }
    expect(HELP_PAGES['hand-off'].cautions).toEqual(expect.arrayContaining(['product', 'rate', 'machine', 're-entry']));
    expect(HELP_PAGES.harvest.cautions).toEqual(expect.arrayContaining(['machine', 'clean-out']));
  });
});

describe('the glossary', () => {
  test('holds every word that a page names, each once, in order', () => {
    const known = GLOSSARY.map((one) => one.word);
    expect(pages.flatMap(({ page }) => page.words.filter((word) => !known.includes(word)))).toEqual([]);
    expect(known).toEqual([...new Set(known)].sort((a, b) => a.localeCompare(b, 'en')));
  });
  test('holds the words that the tool uses in its own sense', () => {
    const own = ['stake', 'gain', 'seed ledger', 'cover', 'cover gap', 'working', 'hand-off'];
    expect(own.filter((word) => !GLOSSARY.some((one) => one.word === word))).toEqual([]);
  });
  test('is searched by word, by other names and by meaning, the word itself first', () => {
    expect(findTerms('seedbank')[0]!.word).toBe('seedbank');
    expect(findTerms('GDD')[0]!.word).toBe('degree-day');
    expect(findTerms('yield monitor')[0]!.word).toBe('harvest log');
    expect(findTerms('sieves').map((one) => one.word)).toContain('chaff');
    expect(findTerms('')).toBe(GLOSSARY);
    expect(findTerms('xyzzy')).toEqual([]);
  });
  test('means each word in a sentence or two', () => {
    for (const { word, means } of GLOSSARY) {
      expect([word, /^[A-Z].*\.$/.test(means), words(means).length <= 34]).toEqual([word, true, true]);
    }
  });
});

test('a source is cited by its authors’ family names', () => {
  expect(shortCitation('beal2001')).toBe('Beal and Tian 2001');
  expect(shortCitation('hartzler2004')).toBe('Hartzler and others 2004');
  expect(shortCitation('horak2000')).toBe('Horak and Loughin 2000');
  expect(shortCitation('cousens1985')).toBe('Cousens 1985');
  expect(shortCitation('assumed')).toBe('Assumed in this tool, no source');
});
