// The reference data as the library takes them, and small invented rows.
import { readFileSync } from 'node:fs';
import type { Covariate, RegressionRow } from '../../../src/comparison/moderators/covariate.ts';
import type { Estimate } from '../../../src/effects/estimate.ts';

const read = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../reference/${name}`, import.meta.url), 'utf8'));
// biome-ignore lint/suspicious/noExplicitAny: a reference file is what its script wrote
export const numpyReference: any = read('moderators-python.json');
// biome-ignore lint/suspicious/noExplicitAny: a reference file is what its script wrote
export const baseRReference: any = read('moderators-r.json');

export const estimate = (
  index: number,
  value: number,
  variance: number,
  study = `study-${index}`,
): Estimate => ({
  study,
  label: `Place ${index}`,
  arm: `arm-${index}`,
  value,
  variance,
  scale: 'plain',
  addedToEachCell: 0,
  rows: [],
});

export const age: Covariate = { id: 'age', name: 'Mean age', kind: 'continuous', unit: 'year' };
export const share: Covariate = { id: 'share', name: 'Cuff repair', kind: 'continuous' };
export const design: Covariate = { id: 'design', name: 'Design', kind: 'categorical', reference: 'cohort' };

export interface ReferenceSet {
  readonly value: number[];
  readonly variance: number[];
  readonly age: number[];
  readonly share: number[];
  readonly design: string[];
}

export const rowsOf = (set: ReferenceSet): RegressionRow[] =>
  set.value.map((value, index) => ({
    estimate: estimate(index, value, set.variance[index]!),
    covariates: { age: set.age[index]!, share: set.share[index]!, design: set.design[index]! },
  }));
