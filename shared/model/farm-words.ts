/** Words and a value that the document's schema and the pages share; without the schema language, so that a page opens light. */
export const CONTROL_RATINGS = ['excellent', 'good', 'fair', 'poor', 'none'] as const;
export const COHORTS = ['early', 'with the crop', 'late'] as const;

/** The threshold used where a species has none of its own: 1 plant/m² (*assumed*; the methods were measured at it). */
export const DEFAULT_THRESHOLD_PER_M2 = 1;
