import type { Covariate, RegressionRow } from '../../../src/comparison/moderators/covariate.ts';
import { fitMetaRegression } from '../../../src/comparison/moderators/fitMetaRegression.ts';
import { permutationTest } from '../../../src/comparison/moderators/permutationTest.ts';
import { type BenchmarkEntry, inProcess } from '../benchmark.ts';
import { inventedEstimates } from '../inventedEstimates.ts';

const permutations = 10_000;
const covariate: Covariate = { id: 'latitude', name: 'Latitude', kind: 'continuous' };

/** 10,000 shuffles of 20 studies against one slope, the residual variance estimated anew each time. */
export const entry: BenchmarkEntry = () => {
  const rows = inventedEstimates(20).map(
    (estimate, index): RegressionRow => ({ estimate, covariates: { latitude: 10 + ((index * 37) % 50) } }),
  );
  return (['dersimonian-laird', 'restricted-maximum-likelihood'] as const).map((betweenStudyVariance) => {
    const regression = fitMetaRegression(rows, [covariate], { betweenStudyVariance });
    return {
      kind: 'budget',
      name: `10,000 permutations of a 20-study regression, ${betweenStudyVariance}`,
      subject: inProcess('permutationTest', () => permutationTest(regression, { permutations })),
      budgetMilliseconds: 1000,
      rounds: 3,
    };
  });
};
