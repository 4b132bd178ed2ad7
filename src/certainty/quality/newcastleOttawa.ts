/** Stars of a cohort study in the three groups of the scale. */
export interface Stars {
  /** 0 to 4. */
  readonly selection: number;
  /** 0 to 2. */
  readonly comparability: number;
  /** 0 to 3. */
  readonly outcome: number;
}

/** `any`: poor when any group is short. `all`: poor only when all three are, which leaves most patterns without a word. */
export const newcastleOttawaForms = ['any', 'all'] as const;
export type NewcastleOttawaForm = (typeof newcastleOttawaForms)[number];

export type NewcastleOttawaQuality = 'good' | 'fair' | 'poor';

const most: Stars = { selection: 4, comparability: 2, outcome: 3 };

/** Items of each group, by the names of judgements.csv. */
export const starGroups: Readonly<Record<keyof Stars, readonly string[]>> = {
  selection: [
    'representative cohort',
    'non-exposed cohort',
    'ascertainment of exposure',
    'outcome absent at start',
  ],
  comparability: ['comparability'],
  outcome: ['assessment of outcome', 'follow-up long enough', 'adequacy of follow-up'],
};

/**
 * Is a cohort study with these stars good, fair or poor?
 *
 * Good: selection 3 to 4, comparability 1 to 2, outcome 2 to 3. Fair: selection 2 and the others as for good. Poor is
 * printed in two ways: selection 0 to 1 OR comparability 0 OR outcome 0 to 1 (`any`), and the same joined by AND
 * (`all`), which leaves 44 of the 60 patterns without a word.
 *
 * @returns undefined where the conversion has no word for the pattern
 * @throws RangeError for stars out of bounds
 * @see Wells GA and others, the Newcastle-Ottawa Scale for cohort studies; the conversion to good, fair and poor is that
 *   of reviews for the Agency for Healthcare Research and Quality (both forms are found in print).
 * @example
 * newcastleOttawaQuality({ selection: 3, comparability: 0, outcome: 3 }, 'any') // 'poor'
 * newcastleOttawaQuality({ selection: 3, comparability: 0, outcome: 3 }, 'all') // undefined
 */
export function newcastleOttawaQuality(
  stars: Stars,
  form: NewcastleOttawaForm = 'any',
): NewcastleOttawaQuality | undefined {
  for (const group of ['selection', 'comparability', 'outcome'] as const) {
    const count = stars[group];
    if (!(Number.isInteger(count) && count >= 0 && count <= most[group]))
      throw new RangeError(
        `${group} must be a whole number from 0 to ${most[group]}, received ${String(count)}`,
      );
  }
  const others = stars.comparability >= 1 && stars.outcome >= 2;
  if (stars.selection >= 3 && others) return 'good';
  if (stars.selection === 2 && others) return 'fair';
  const short = [stars.selection <= 1, stars.comparability === 0, stars.outcome <= 1];
  return (form === 'any' ? short.some(Boolean) : short.every(Boolean)) ? 'poor' : undefined;
}
