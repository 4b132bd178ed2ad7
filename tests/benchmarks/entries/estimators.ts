import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { meanIntervalMethods } from '../../../src/pooling/meanIntervalMethods.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { pooledSample, weightedMean } from '../../../src/pooling/pooledSample.ts';
import type { VarianceEstimator } from '../../../src/pooling/poolOptions.ts';
import { varianceEstimatorMethods } from '../../../src/pooling/varianceEstimatorMethods.ts';
import { type Benchmark, type BenchmarkEntry, inProcess } from '../benchmark.ts';
import { inventedEstimates } from '../inventedEstimates.ts';
import { OtherProcess } from '../otherProcess.ts';

const beside = (file: string): string => fileURLToPath(new URL(`../${file}`, import.meta.url));
const works = (command: string, args: readonly string[]): boolean => spawnSync(command, args).status === 0;

/** What combine_effects gives, by the library's parts: both means, their intervals, Q, I², H², the variance; no interval of the variance. */
function withoutVarianceInterval(
  values: Float64Array,
  variances: Float64Array,
  estimator: VarianceEstimator,
) {
  const sample = pooledSample(values, variances);
  const common = weightedMean(sample, 0);
  const { value } = varianceEstimatorMethods[estimator].estimate(sample, common);
  const mean = weightedMean(sample, value);
  return {
    betweenStudyVariance: value,
    common: {
      value: sample.centre + common.distance,
      wald: meanIntervalMethods.wald.reach(sample, common, 0.95),
    },
    random: {
      value: sample.centre + mean.distance,
      wald: meanIntervalMethods.wald.reach(sample, mean, 0.95),
      hartungKnapp: meanIntervalMethods['hartung-knapp'].reach(sample, mean, 0.95),
    },
    q: common.q,
    iSquared: Math.max(0, 1 - (sample.count - 1) / common.q),
    hSquared: common.q / (sample.count - 1),
  };
}

export const entry: BenchmarkEntry = () => {
  const python = ['/usr/bin/python3', 'python3'].find((command) =>
    works(command, ['-c', 'import statsmodels.stats.meta_analysis']),
  );
  const benchmarks: Benchmark[] = [];
  for (const [estimator, method, name] of [
    ['dersimonian-laird', 'dl', 'DerSimonian-Laird'],
    ['paule-mandel', 'iterated', 'Paule-Mandel'],
  ] as const) {
    for (const [count, target] of [
      [13, 10],
      [5000, 3],
    ] as const) {
      const title = `${name}, ${count} studies, without the variance's own interval`;
      if (python === undefined) {
        benchmarks.push({
          kind: 'skipped',
          name: title,
          reason: 'no Python with statsmodels here, nothing to pair with',
        });
        continue;
      }
      const estimates = inventedEstimates(count);
      const values = Float64Array.from(estimates, ({ value }) => value);
      const variances = Float64Array.from(estimates, ({ variance }) => variance);
      // Laying out a sample turns its values into distances, so they are copied afresh for every run.
      const copy = new Float64Array(count);
      const run = () => {
        copy.set(values);
        return withoutVarianceInterval(copy, variances, estimator);
      };
      benchmarks.push({
        kind: 'ratio',
        name: title,
        subject: inProcess('tenosite', run),
        reference: new OtherProcess({
          name: `statsmodels combine_effects (${method})`,
          command: python,
          arguments: [beside('combineEffects.py'), method],
          data: `${values.join(',')};${variances.join(',')}`,
          runs: 50,
          expected: run().betweenStudyVariance,
          within: 1e-4,
        }),
        direction: 'at-least',
        target,
      });
    }
  }
  const thirteen = inventedEstimates(13);
  const likelihood = () => poolEstimates(thirteen, { betweenStudyVariance: 'maximum-likelihood' });
  const title = 'maximum likelihood, 13 studies';
  if (works('Rscript', ['--vanilla', '-e', 'quit(status = !requireNamespace("nlme", quietly = TRUE))'])) {
    benchmarks.push({
      kind: 'ratio',
      name: title,
      subject: inProcess('poolEstimates', likelihood),
      reference: new OtherProcess({
        name: 'nlme lme(method = "ML")',
        command: 'Rscript',
        arguments: [
          '--vanilla',
          beside('lmeBatches.R'),
          thirteen.map(({ value }) => value).join(','),
          thirteen.map(({ variance }) => variance).join(','),
        ],
        runs: 10,
        expected: likelihood().heterogeneity!.betweenStudyVariance,
        within: 1e-3,
      }),
      direction: 'at-least',
      target: 100,
    });
  } else {
    benchmarks.push({
      kind: 'skipped',
      name: title,
      reason: 'no Rscript with nlme here, nothing to pair with',
    });
  }
  const many = inventedEstimates(5000);
  benchmarks.push({
    kind: 'budget',
    name: 'restricted maximum likelihood, 5,000 studies',
    subject: inProcess('poolEstimates', () =>
      poolEstimates(many, { betweenStudyVariance: 'restricted-maximum-likelihood' }),
    ),
    budgetMilliseconds: 20,
  });
  return benchmarks;
};
