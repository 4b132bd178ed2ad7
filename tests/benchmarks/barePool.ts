import {
  chiSquareQuantile,
  chiSquareUpperTail,
  normalQuantile,
  studentTQuantile,
} from '../../src/numerics/distributions.ts';
import { findIncreasingRoot } from '../../src/numerics/rootFinding.ts';

/**
 * Every number a pooled result holds, from typed arrays to typed arrays and no objects: the least work that could
 * give the same answer. DerSimonian-Laird, Wald interval, prediction by t with k - 2, logit scale.
 *
 * @param summary receives the 21 summary numbers
 */
export function barePool(
  values: Float64Array,
  variances: Float64Array,
  level: number,
  weights: Float64Array,
  lower: Float64Array,
  upper: Float64Array,
  summary: Float64Array,
): void {
  const k = values.length;
  const tail = (1 - level) / 2;
  let heaviest = 0;
  for (let i = 1; i < k; i++) if (variances[i]! < variances[heaviest]!) heaviest = i;
  const centre = values[heaviest]!;
  let weightSum = 0;
  let weighted = 0;
  for (let i = 0; i < k; i++) {
    const weight = 1 / variances[i]!;
    weightSum += weight;
    weighted += weight * (values[i]! - centre);
  }
  const common = weighted / weightSum;
  let q = 0;
  let others = 0;
  let scale = 0;
  for (let i = 0; i < k; i++) {
    const weight = 1 / variances[i]!;
    q += weight * (values[i]! - centre - common) ** 2;
    if (i !== heaviest) {
      others += weight;
      scale += weight * (weightSum - weight);
    }
  }
  scale = (scale + others / variances[heaviest]!) / weightSum;
  const between = Math.max(0, (q - (k - 1)) / scale);
  let sum = 0;
  let total = 0;
  for (let i = 0; i < k; i++) {
    const weight = 1 / (variances[i]! + between);
    sum += weight;
    total += weight * (values[i]! - centre);
  }
  const mean = centre + total / sum;
  const standardError = Math.sqrt(1 / sum);
  const z = -normalQuantile(tail);
  const t = -studentTQuantile(tail, k - 2);
  const reach = t * Math.sqrt(between + 1 / sum);
  for (let i = 0; i < k; i++) {
    weights[i] = 1 / (variances[i]! + between) / sum;
    const margin = z * Math.sqrt(variances[i]!);
    lower[i] = values[i]! - margin;
    upper[i] = values[i]! + margin;
  }
  let squares = 0;
  let average = 0;
  for (let i = 0; i < k; i++) average += (values[i]! - centre) / k;
  for (let i = 0; i < k; i++) squares += (values[i]! - centre - average) ** 2;
  const solve = (target: number): number => {
    if (q <= target) return 0;
    return findIncreasingRoot(
      (variance, out) => {
        let s = 0;
        let m = 0;
        for (let i = 0; i < k; i++) {
          const weight = 1 / (variances[i]! + variance);
          s += weight;
          m += weight * (values[i]! - centre);
        }
        m /= s;
        let at = 0;
        let fall = 0;
        for (let i = 0; i < k; i++) {
          const weight = 1 / (variances[i]! + variance);
          const part = weight * (values[i]! - centre - m) ** 2;
          at += part;
          fall += weight * part;
        }
        out[0] = 1 / at - 1 / target;
        out[1] = fall / (at * at);
      },
      0,
      squares / target,
      between,
    ).root;
  };
  const rate = (x: number): number => 1 / (1 + Math.exp(-x));
  const logRatio = Math.log(q / (k - 1));
  const error =
    q > k
      ? (0.5 * logRatio) / (Math.sqrt(2 * q) - Math.sqrt(2 * k - 3))
      : Math.sqrt((1 - 1 / (3 * (k - 2) ** 2)) / (2 * (k - 2)));
  const hLower = Math.max(1, Math.exp(logRatio - 2 * z * error));
  const hUpper = Math.max(1, Math.exp(logRatio + 2 * z * error));
  summary[0] = mean;
  summary[1] = standardError;
  summary[2] = mean - z * standardError;
  summary[3] = mean + z * standardError;
  summary[4] = mean - reach;
  summary[5] = mean + reach;
  summary[6] = q;
  summary[7] = k - 1;
  summary[8] = chiSquareUpperTail(q, k - 1);
  summary[9] = between;
  summary[10] = solve(chiSquareQuantile(1 - tail, k - 1));
  summary[11] = solve(chiSquareQuantile(tail, k - 1));
  summary[12] = Math.max(0, (q - (k - 1)) / q);
  summary[13] = Math.max(1, q / (k - 1));
  summary[14] = 1 - 1 / hLower;
  summary[15] = 1 - 1 / hUpper;
  summary[16] = rate(mean);
  summary[17] = rate(summary[2]!);
  summary[18] = rate(summary[3]!);
  summary[19] = rate(summary[4]!);
  summary[20] = rate(summary[5]!);
}
