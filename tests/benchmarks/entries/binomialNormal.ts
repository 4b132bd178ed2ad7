import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { fitBinomialNormal } from '../../../src/pooling/fitBinomialNormal.ts';
import { type BenchmarkEntry, inProcess } from '../benchmark.ts';
import { inventedEstimates } from '../inventedEstimates.ts';
import { OtherProcess } from '../otherProcess.ts';

const name = 'binomial-normal fit of 20 studies';

export const entry: BenchmarkEntry = () => {
  const found = spawnSync('Rscript', [
    '--vanilla',
    '-e',
    'quit(status = !requireNamespace("lme4", quietly = TRUE))',
  ]);
  const counts = inventedEstimates(20).map((estimate) => estimate.count!);
  const fitted = () => fitBinomialNormal(counts, { quadraturePoints: 7 });
  if (found.status !== 0) {
    return [
      { kind: 'skipped', name, reason: 'Rscript with lme4 is not installed here, nothing to pair with' },
    ];
  }
  return [
    {
      kind: 'ratio',
      name,
      subject: inProcess('fitBinomialNormal, 7 points', fitted),
      reference: new OtherProcess({
        name: 'lme4 glmer(nAGQ = 7)',
        command: 'Rscript',
        arguments: [
          '--vanilla',
          fileURLToPath(new URL('../glmerBatches.R', import.meta.url)),
          counts.map((count) => count.events).join(','),
          counts.map((count) => count.total).join(','),
        ],
        runs: 5,
        expected: fitted().mean!,
        within: 1e-4,
      }),
      direction: 'at-least',
      target: 50,
    },
  ];
};
