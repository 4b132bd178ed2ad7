import { posteriorBinomialNormal } from '../../../src/pooling/bayesian/posteriorBinomialNormal.ts';
import { posteriorNormalNormal } from '../../../src/pooling/bayesian/posteriorNormalNormal.ts';
import { type Benchmark, type BenchmarkEntry, inProcess } from '../benchmark.ts';
import { inventedEstimates } from '../inventedEstimates.ts';

const normal = (count: number): Benchmark => {
  const estimates = inventedEstimates(count);
  return {
    kind: 'budget',
    name: `Bayesian normal-normal of ${count} studies, shrunken effects included`,
    subject: inProcess('posteriorNormalNormal', () => posteriorNormalNormal(estimates)),
    budgetMilliseconds: 5,
  };
};

export const entry: BenchmarkEntry = () => {
  const counts = inventedEstimates(20).map(({ study, label, count }) => ({ study, label, ...count! }));
  return [
    normal(13),
    normal(20),
    {
      kind: 'budget',
      name: 'Bayesian binomial-normal of 20 studies, shrunken rates included',
      subject: inProcess('posteriorBinomialNormal', () => posteriorBinomialNormal(counts)),
      budgetMilliseconds: 100,
    },
  ];
};
