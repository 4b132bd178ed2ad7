import { describe, expect, it } from 'vitest';
import type { Estimate } from '../../../src/effects/estimate.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { varianceEstimators } from '../../../src/pooling/poolOptions.ts';
import { type TrimAndFill, trimAndFill } from '../../../src/robustness/smallStudies/trimAndFill.ts';
import { expectClose } from '../../helpers/close.ts';

const estimatesOf = (values: readonly number[], variances: readonly number[] = []): Estimate[] =>
  values.map((value, i) => ({
    study: `s${i}`,
    label: `Study ${i}`,
    value,
    variance: variances[i] ?? 0.04,
    scale: 'plain',
    addedToEachCell: 0,
    rows: [],
  }));

const filled = (estimates: readonly Estimate[], options: Parameters<typeof trimAndFill>[1]): TrimAndFill => {
  const answer = trimAndFill(estimates, options);
  if (answer.kind !== 'trim-and-fill') throw new Error(answer.reason);
  return answer;
};

/** Ten studies on one side and two far out on the other; three of the ten at exactly the same distance. */
const tied = [-1, -1, -1, -0.4, -0.41, -0.42, -0.39, -0.38, -0.37, -0.36, 4, 5];
/** Five studies far to the right of a symmetric cloud. */
const leaning = [0, 0.1, -0.1, 0.05, -0.05, 0.02, -0.02, 0.9, 1.1, 1.3, 1.6, 2];
const imprecise = leaning.map((value) => (value > 0.5 ? 0.4 : 0.01));

// Duval S, Tweedie R, Biometrics 2000;56:455-463, section 3: R0 is one less than the length of the run of ranks at the
// far end that all belong to far distances. A near study that shares the largest near rank ends the run; it does not
// lengthen it.
describe('R0 with tied distances', () => {
  it('twelve identical studies lean nowhere, by either estimator on either side', () => {
    for (const value of [0.25, 0.1, -3, 1e6]) {
      for (const side of ['left', 'right'] as const) {
        for (const estimator of ['R0', 'L0'] as const) {
          const estimates = estimatesOf(Array(12).fill(value));
          expect(filled(estimates, { estimator, side }).missing).toBe(0);
        }
      }
    }
  });

  it('three near studies at one distance: the same as when two of them are moved by a millionth', () => {
    expect(filled(estimatesOf(tied), { estimator: 'R0' }).missing).toBe(1);
    const moved = tied.map((value, i) => (i === 1 ? value - 1e-6 : i === 2 ? value + 1e-6 : value));
    expect(filled(estimatesOf(moved), { estimator: 'R0' }).missing).toBe(1);
  });

  it('a far study at the largest near distance is not beyond it', () => {
    // Around 0: near at 2, far at 2, 3, 4; two lie strictly beyond. The weights hold the centre at 0.
    const values = [-2, 2, 3, 4, 0, 0.1, -0.1, 0.2, -0.2, 0.3, -0.3];
    const variances = values.map((value) => (Math.abs(value) >= 2 ? 1e12 : 1e-6));
    expect(filled(estimatesOf(values, variances), { estimator: 'R0' }).missing).toBe(1);
  });

  it('is the same from the other side of a mirror', () => {
    const mirrored = tied.map((value) => -value);
    expect(filled(estimatesOf(mirrored), { estimator: 'R0', side: 'right' }).missing).toBe(1);
  });

  it('of equal values the order of the studies decides nothing', () => {
    const values = [...leaning.slice(0, 10), 1.6, 1.6];
    const variances = values.map((_, i) => 0.01 + 0.003 * i);
    const estimates = estimatesOf(values, variances);
    const one = filled(estimates, { estimator: 'R0' });
    const other = filled([...estimates].reverse(), { estimator: 'R0' });
    expect(one.missing).toBeGreaterThan(0);
    expectClose(other.after.mean!.value, one.after.mean!.value, 'identity');
  });
});

describe('what the filled pool says', () => {
  it('counts the studies that were reported, and the imputed ones apart', () => {
    const { missing, after, before } = filled(estimatesOf(leaning, imprecise), {});
    expect(missing).toBeGreaterThan(1);
    expect(after.methodsSentence).toContain(
      `Values as reported from 12 studies, to which ${missing} imputed studies were added, were pooled`,
    );
    expect(after.studies).toBe(12);
    expect(after.estimates).toHaveLength(12 + missing);
    expect(before.methodsSentence).toContain('Values as reported from 12 studies were pooled');
    const one = filled(estimatesOf(tied), { estimator: 'R0' }).after.methodsSentence;
    expect(one).toContain('from 12 studies, to which 1 imputed study was added, were pooled');
  });

  it('arms of one study stay one study', () => {
    const arms = estimatesOf(leaning, imprecise).map((each, i) => (i < 2 ? { ...each, study: 's0' } : each));
    const { missing, after } = filled(arms, {});
    expect(missing).toBeGreaterThan(1);
    expect(after.methodsSentence).toContain(
      `from 11 studies (12 estimates), to which ${missing} imputed studies were added, were pooled`,
    );
  });
});

// Duval and Tweedie find the centre with the model the analysis uses.
describe('a random-effects centre', () => {
  it('is found by the between-study variance estimator asked for', () => {
    const variances = leaning.map((_, i) => 0.005 + 0.02 * i);
    const estimates = estimatesOf(leaning, variances);
    const byRise = [...estimates].sort((a, b) => a.value - b.value);
    const centres = new Set<string>();
    for (const betweenStudyVariance of varianceEstimators) {
      const { missing, centreValue } = filled(estimates, {
        centre: 'random-effects',
        pool: { betweenStudyVariance },
      });
      const kept = byRise.slice(0, byRise.length - missing);
      expectClose(centreValue, poolEstimates(kept, { betweenStudyVariance }).mean!.value, 'identity');
      centres.add(centreValue.toFixed(6));
    }
    expect(centres.size).toBeGreaterThan(4);
  });
});
