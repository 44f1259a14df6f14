/** The sources that parameters, equations and checks rest on. Authors and titles are citations; nothing else is named. */
import table from './sources.json';

export interface Source {
  readonly authors: string;
  readonly year: number | null;
  readonly title: string;
  readonly where: string;
  readonly doi?: string;
  readonly url?: string;
  /** How far the content was verified: passage read, abstract only, or from memory. */
  readonly verified: 'read' | 'abstract' | 'memory';
}

const byKey = new Map(Object.entries(table as unknown as Record<string, Source>));

export function sourceKeys(): string[] {
  return [...byKey.keys()];
}

export function hasSource(key: string): boolean {
  return byKey.has(key);
}

/** @throws on an unknown key. */
export function source(key: string): Source {
  const found = byKey.get(key);
  if (!found) throw new Error(`source: no source "${key}"`);
  return found;
}

/** One line to print: "Cousens R 1985. A simple model … . Annals of Applied Biology 107:239-252 (from memory)". */
export function citation(key: string): string {
  return citationOf(source(key));
}

export function citationOf({ authors, year, title, where, verified }: Source): string {
  if (authors === '') return where === '' ? title : `${title}: ${where}`;
  const head = year === null ? authors : `${authors} ${year}`;
  const tail = { read: 'read', abstract: 'abstract read', memory: 'from memory' }[verified];
  return [`${head}.`, `${title}.`, where === '' ? '' : `${where} `].filter(Boolean).join(' ').trimEnd() + ` (${tail})`;
}
