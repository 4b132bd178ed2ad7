import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { barePool } from '../barePool.ts';
import { type Benchmark, type BenchmarkEntry, inProcess } from '../benchmark.ts';
import { inventedEstimates } from '../inventedEstimates.ts';

function against(count: number, target: number): Benchmark {
  const estimates = inventedEstimates(count);
  const values = Float64Array.from(estimates, (estimate) => estimate.value);
  const variances = Float64Array.from(estimates, (estimate) => estimate.variance);
  const pooled = poolEstimates(estimates);
  const bare = (): Float64Array => {
    const summary = new Float64Array(21);
    barePool(
      values,
      variances,
      0.95,
      new Float64Array(count),
      new Float64Array(count),
      new Float64Array(count),
      summary,
    );
    return summary;
  };
  const check = bare();
  for (const [ours, theirs] of [
    [pooled.mean?.value, check[0]],
    [pooled.heterogeneity?.betweenStudyVarianceInterval?.upper, check[11]],
    [pooled.natural?.prediction?.upper, check[20]],
  ]) {
    if (!(Math.abs(ours! - theirs!) <= 1e-10 * Math.abs(theirs!))) {
      throw new Error(`the bare loop gives ${theirs}, the library ${ours}: they must do the same work`);
    }
  }
  return {
    kind: 'ratio',
    name: `one pooled analysis of ${count.toLocaleString('en-GB')} studies`,
    subject: inProcess('poolEstimates', () => poolEstimates(estimates)),
    reference: inProcess('bare typed-array loop', bare),
    direction: 'at-most',
    target,
    rounds: 25,
  };
}

export const entry: BenchmarkEntry = () => [against(13, 10), against(5000, 2)];
