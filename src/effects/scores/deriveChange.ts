import { changeFromBaseline } from './changeFromBaseline.ts';
import type { ScoreArm } from './scoreArm.ts';

/**
 * What is the change of an arm that reports only baseline and final scores?
 *
 * Both must be harmonised to the same scale. The number of shoulders is that of the smaller of the
 * two measurements, since only they can have changed.
 *
 * @returns The arm's change, with both rows; undefined when the two are not of one arm and scale.
 * Source: see {@link changeFromBaseline}.
 */
export function deriveChange(baseline: ScoreArm, final: ScoreArm, correlation: number): ScoreArm | undefined {
  const together =
    baseline.study === final.study &&
    baseline.arm === final.arm &&
    baseline.scale === final.scale &&
    baseline.kind === 'baseline' &&
    final.kind === 'final';
  if (!together) return undefined;
  const change = changeFromBaseline({
    baselineMean: baseline.mean,
    baselineDeviation: baseline.standardDeviation,
    finalMean: final.mean,
    finalDeviation: final.standardDeviation,
    correlation,
  });
  return {
    ...final,
    kind: 'change',
    mean: change.mean,
    standardDeviation: change.standardDeviation,
    total: Math.min(baseline.total, final.total),
    conversions: [...baseline.conversions, ...final.conversions, change],
    cautions: [...baseline.cautions, ...final.cautions, ...change.cautions],
    rows: [baseline.row, final.row],
  };
}
