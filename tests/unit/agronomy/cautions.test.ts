import { describe, expect, it } from 'vitest';
import { CAUTIONS, cautionsFor } from '../../../shared/agronomy/cautions.ts';
import { citation, hasSource, source, sourceKeys } from '../../../shared/agronomy/sources.ts';

describe('cautions', () => {
  it('says something at every place, each with a known source', () => {
    for (const list of Object.values(CAUTIONS)) {
      expect(list.length).toBeGreaterThan(0);
      for (const one of list) expect(hasSource(one.source), one.text).toBe(true);
    }
  });

  it('puts the label first wherever a product appears', () => {
    expect(CAUTIONS.product[0]!.text).toMatch(/^The product label is the law/);
  });

  it('says each text once where places overlap', () => {
    const texts = cautionsFor(['product', 'rate', 'product']).map((one) => one.text);
    expect(new Set(texts).size).toBe(texts.length);
    expect(texts.length).toBe(CAUTIONS.product.length + CAUTIONS.rate.length);
  });
});

describe('sources', () => {
  it('refuses an unknown key and cites every known one in one line', () => {
    expect(() => source('nobody')).toThrow(/no source/);
    for (const key of sourceKeys()) {
      const text = citation(key);
      expect(text.length).toBeGreaterThan(5);
      expect(text).not.toMatch(/undefined|null|\n/);
    }
    expect(citation('cousens1985')).toContain('Cousens');
    expect(citation('cousens1985')).toContain('from memory');
  });
});
