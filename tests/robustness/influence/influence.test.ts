import { describe, expect, it } from 'vitest';
import type { Estimate } from '../../../src/effects/estimate.ts';
import { oddsRatio } from '../../../src/effects/twoRates.ts';
import { chiSquareQuantile } from '../../../src/numerics/distributions.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import { cumulative, cumulativePool } from '../../../src/robustness/influence/cumulative.ts';
import { influence, influenceMarks } from '../../../src/robustness/influence/influence.ts';
import { expectAllPrinted, expectClose, expectPrinted } from '../../helpers/close.ts';
import { estimatesOf, expectJsonSafe } from '../../pooling/estimates.ts';
import { numberIn, printedValue, published } from '../../published/published.ts';
import reference from '../../reference/robustness-r.json' with { type: 'json' };
import { agree, estimatesFrom } from '../invented.ts';

describe('influence against refits by base R', () => {
  const { data } = reference;
  const odds = data.eventsTreated.map(
    (events, i) =>
      oddsRatio({
        study: `study-${i}`,
        label: `Place ${i} 2020`,
        treated: { events, total: data.totalTreated[i]! },
        comparator: { events: data.eventsComparator[i]!, total: data.totalComparator[i]! },
      }) as Estimate,
  );
  const { studies } = influence(odds);

  it.each(reference.influence.map((row, i) => [i, row] as const))('study %i', (i, row) => {
    const study = studies[i]!;
    const size = { ofSize: 0.1 };
    expectClose(study.hatValue, row.hat, 'specialFunctionTail');
    expectClose(study.mean!.value, row.mean, 'specialFunctionTail', size);
    expectClose(study.heterogeneity!.betweenStudyVariance, row.variance, 'specialFunctionTail', size);
    expectClose(study.residual, row.residual, 'specialFunctionTail', size);
    expectClose(study.cookDistance, row.cook, 'specialFunctionTail', size);
    expectClose(study.standardisedChange, row.change, 'specialFunctionTail', size);
    expectClose(study.varianceRatio, row.ratio, 'specialFunctionTail');
  });
});

describe('influence in its own equations', () => {
  const estimates = [...estimatesFrom(6, 11, 0.1), ...estimatesOf([3], [0.02])];

  it('marks the study that lies far from the rest, and no other as an outlier', () => {
    const { studies } = influence(estimates, { betweenStudyVariance: 'restricted-maximum-likelihood' });
    const residual = studies.filter(({ marked }) => marked.includes('residual'));
    expect(residual.map(({ study }) => study)).toEqual([estimates[11]!.study]);
    expect(studies[11]!.varianceChange).toBeLessThan(0);
  });

  it('has hat values that sum to 1 and shares of Q that sum to 1', () => {
    const { studies } = influence(estimates);
    expectClose(
      studies.reduce((sum, { hatValue }) => sum + hatValue, 0),
      1,
      'identity',
    );
    expectClose(
      studies.reduce((sum, { shareOfQ }) => sum + shareOfQ!, 0),
      1,
      'specialFunction',
    );
  });

  it('pulls the mean by what a common-effect refit says', () => {
    const whole = poolEstimates(estimates, { model: 'common-effect' }).mean!;
    for (const [i, { pullOnMean }] of influence(estimates).studies.entries()) {
      const rest = poolEstimates(
        estimates.filter((_, j) => j !== i),
        { model: 'common-effect' },
      ).mean!;
      agree(pullOnMean, ((whole.value - rest.value) / rest.standardError) ** 2, 1e-10, 1e-3);
    }
  });

  it('marks Cook-type distance from the median of a chi-square with one degree of freedom', () => {
    expectClose(influenceMarks.cookDistance, chiSquareQuantile(0.5, 1), 'specialFunction');
  });

  it('has no measure for one study, and is safe to write down', () => {
    expect(influence(estimates.slice(0, 1)).studies[0]).toMatchObject({ residual: undefined, marked: [] });
    expectJsonSafe(JSON.parse(JSON.stringify(influence(estimates.slice(0, 2)))));
    expect(influence([], { scale: 'logit' }).studies).toEqual([]);
  });
});

/** Lau J, Antman EM, Jimenez-Silva J et al., N Engl J Med 1992;327:248-254. */
const streptokinase = published('streptokinase-cumulative');
const trials = streptokinase.rows.map((row) => ({
  study: String(row.study),
  label: String(row.study),
  year: numberIn(row, 'year'),
  treated: { events: numberIn(row, 'eventsTreated'), total: numberIn(row, 'totalTreated') },
  comparator: { events: numberIn(row, 'eventsComparator'), total: numberIn(row, 'totalComparator') },
  rows: [],
}));

describe('streptokinase, 33 trials in order of publication', () => {
  const order = {
    by: (trial: (typeof trials)[number]) => trial.year,
    byName: 'year',
    ties: 'as-given',
  } as const;
  const series = cumulative(trials, order, (sofar) =>
    poolTwoArms(sofar, { method: 'mantel-haenszel', measure: 'odds-ratio' }),
  );

  it('after eight trials (1973): the printed odds ratio and interval', () => {
    const step = series.steps[7]!;
    expect(step.at).toBe(1973);
    expectPrinted(
      step.result.natural!.value,
      printedValue(streptokinase, 'odds ratio after eight trials (1973)').printed as string,
    );
    const { lower, upper } = step.result.natural!.interval!;
    expectAllPrinted(
      [lower, upper],
      printedValue(streptokinase, 'odds ratio 95% interval after eight trials').printed as readonly string[],
    );
    // Base R mantelhaen.test on the first eight.
    expectClose(step.result.natural!.value, 0.739705620757, 'specialFunctionTail');
    expectClose(lower, 0.593853693189, 'specialFunctionTail');
    expectClose(upper, 0.921379140444, 'specialFunctionTail');
  });

  it('counts the printed patients before and after', () => {
    const patients = (some: typeof trials) =>
      some.reduce((sum, { treated, comparator }) => sum + treated.total + comparator.total, 0);
    expect(String(patients(series.steps.slice(0, 8).flatMap(({ added }) => [...added])))).toBe(
      printedValue(streptokinase, 'patients in the first eight trials').printed,
    );
    expect(String(patients(series.steps.slice(8).flatMap(({ added }) => [...added])))).toBe(
      printedValue(streptokinase, 'patients in the other 25 trials').printed,
    );
  });

  it('taken year by year, ends where the trials one by one end', () => {
    const byYear = cumulative(trials, { ...order, ties: 'together' }, (sofar) =>
      poolTwoArms(sofar, { method: 'mantel-haenszel', measure: 'odds-ratio' }),
    );
    expect(byYear.steps.length).toBe(new Set(trials.map(({ year }) => year)).size);
    expectClose(
      byYear.steps.at(-1)!.result.natural!.value,
      series.steps.at(-1)!.result.natural!.value,
      'identity',
    );
    for (const { at, count } of byYear.steps)
      expect(trials.filter(({ year }) => year <= at)).toHaveLength(count);
  });
});

describe('cumulative pools', () => {
  const estimates = estimatesFrom(14, 9, 0.3);

  it('by precision: each step is the pool of the most precise so far', () => {
    const { steps } = cumulativePool(estimates, 'precision', { interval: 'student-t' });
    const sorted = [...estimates].sort((a, b) => a.variance - b.variance);
    for (const [i, { result, at }] of steps.entries()) {
      expect(result.mean).toEqual(poolEstimates(sorted.slice(0, i + 1), { interval: 'student-t' }).mean);
      expect(at).toBe(1 / sorted[i]!.variance);
    }
  });

  it('by any column, falling, and with ties in one step', () => {
    const order = {
      by: ({ label }: Estimate) => Number(label.split(' ')[1]) >> 1,
      byName: 'pair',
      direction: 'falling',
    } as const;
    const { steps } = cumulativePool(estimates, order);
    expect(steps.map(({ at, count }) => [at, count])).toEqual([
      [4, 1],
      [3, 3],
      [2, 5],
      [1, 7],
      [0, 9],
    ]);
    expectClose(steps.at(-1)!.result.mean!.value, poolEstimates(estimates).mean!.value, 'specialFunction');
  });

  it('refuses a study without a place in the order', () => {
    expect(() => cumulativePool(estimates, { by: () => Number.NaN, byName: 'year' })).toThrow(
      /year of item 1 must be a finite number, received NaN/,
    );
    const unknown = { by: () => 1, byName: 'x', ties: 'first' as 'together' };
    expect(() => cumulativePool(estimates, unknown)).toThrow(/together, as-given/);
  });
});
