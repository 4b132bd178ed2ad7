import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { profileCutOffs } from '../../../src/pooling/quoted/profileCutOffs.ts';
import { quotedRates } from '../../../src/pooling/quoted/quotedRate.ts';
import { rateContext } from '../../../src/pooling/quoted/rateContext.ts';
import { rateMethods } from '../../../src/pooling/quoted/rateMethods.ts';
import { type Benchmark, type BenchmarkEntry, inProcess } from '../benchmark.ts';
import { OtherProcess } from '../otherProcess.ts';

/** Twenty arms with few events, a third of them without any. */
const counts = Array.from({ length: 20 }, (_, i) => ({
  study: `s${i}`,
  label: `Study ${i}`,
  events: [0, 1, 2, 0, 3, 5, 1, 0, 2, 4][i % 10]!,
  total: 30 + 13 * i,
}));

let asked = 0;
/** As many, each time other than before: what has been answered is remembered. */
function otherCounts(): typeof counts {
  asked += 1;
  return counts.map((count) => ({ ...count, total: count.total + asked }));
}

const ratioName = 'median of 20 studies with both profile limits';

export const entry: BenchmarkEntry = () => {
  const budgets: Benchmark[] = [
    {
      kind: 'budget',
      name: 'one rate of 20 arms, mean and median of studies by profile',
      subject: inProcess('two quoted methods', () => {
        const context = rateContext(counts);
        return (['beta-binomial-profile-calibrated', 'median-study-profile-calibrated'] as const).map(
          (method) => rateMethods[method].estimate(context, 0.95),
        );
      }),
      budgetMilliseconds: 5,
    },
    {
      kind: 'budget',
      name: 'all four sites of an outcome, 20 arms each, quoted with everything beside it',
      subject: inProcess('quotedRates', () =>
        quotedRates(new Map(['top', 'supra', 'sub', 'tenotomy'].map((site) => [site, otherCounts()]))),
      ),
      budgetMilliseconds: 16,
    },
  ];
  const found = spawnSync('Rscript', [
    '--vanilla',
    '-e',
    'quit(status = !requireNamespace("lme4", quietly = TRUE))',
  ]);
  if (found.status !== 0) {
    const reason = 'Rscript with lme4 is not installed here, nothing to pair with';
    return [...budgets, { kind: 'skipped', name: ratioName, reason }];
  }
  const limits = () => rateContext(counts).median()!.limits(profileCutOffs['chi-square'].at(0.95, 20));
  return [
    ...budgets,
    {
      kind: 'ratio',
      name: ratioName,
      subject: inProcess('rateContext(counts).median().limits', limits),
      reference: new OtherProcess({
        name: 'lme4 glmer(nAGQ = 25) with a profile',
        command: 'Rscript',
        arguments: [
          '--vanilla',
          fileURLToPath(new URL('../glmerProfileBatches.R', import.meta.url)),
          counts.map(({ events }) => events).join(','),
          counts.map(({ total }) => total).join(','),
        ],
        runs: 2,
        expected: limits()[1]!.t,
        within: 1e-3,
      }),
      direction: 'at-least',
      target: 50,
    },
  ];
};
