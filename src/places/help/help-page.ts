/** A page of help: plain words, each paragraph with the sources that it rests on. Numbers are read from the parameters, so that they cannot drift. */
import type { CautionPlace } from '../../../shared/agronomy/cautions.ts';
import { parameter } from '../../../shared/agronomy/parameter.ts';
import { formatCount, formatNumber } from '../../../shared/units/format.ts';

export interface HelpPage {
  /** A sentence that says what the place answers. */
  readonly title: string;
  readonly parts: readonly HelpPart[];
  /** Where a product, a rate or a machine appears. */
  readonly cautions: readonly CautionPlace[];
  /** Words of the glossary that the page uses. */
  readonly words: readonly string[];
}

export interface HelpPart {
  readonly heading: string;
  readonly paragraphs: readonly Paragraph[];
}

export interface Paragraph {
  /** May hold {parameter.id|form}: value and range of a parameter, in percent (%), as a count (n) or as it is (no form). */
  readonly text: string;
  /** Keys of shared/agronomy/sources.ts or of method-sources.ts. */
  readonly sources: readonly string[];
}

export const say = (text: string, ...sources: string[]): Paragraph => ({ text, sources });

const HOLE = /\{([^|}]+)(?:\|([%n]))?\}/g;

/** Ids of the parameters that a text holds. */
export function parametersIn(text: string): string[] {
  return [...text.matchAll(HOLE)].map((match) => match[1]!);
}

/** The text with its numbers. @throws on a parameter that is not known */
export function withNumbers(text: string): string {
  return text.replace(HOLE, (_, id: string, form: string | undefined) => {
    const { value, low, high } = parameter(id);
    const one = (number: number) =>
      form === '%' ? `${plain(number * 100)}%` : form === 'n' ? formatCount(number) : plain(number);
    return `${one(value)} (${one(low)} to ${one(high)})`;
  });
}

function plain(value: number): string {
  return formatNumber(value, Number.isInteger(value) || Math.abs(value) >= 100 ? 0 : Math.abs(value) >= 10 ? 1 : 2)
    .replace(/(\.\d*?)0+$/, '$1')
    .replace(/\.$/, '');
}
