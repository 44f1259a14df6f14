/** The invented farm that comes with the page. */
export const SAMPLE = { id: 'thistlewend', name: 'the sample farm', file: 'sample/farm.zip' } as const;
