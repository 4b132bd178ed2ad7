import { describe, expect, it } from 'vitest';
import type { Estimate } from '../../../src/effects/estimate.ts';
import { estimateRates } from '../../../src/effects/estimateRates.ts';
import { oddsRatio } from '../../../src/effects/twoRates.ts';
import { chiSquareQuantile } from '../../../src/numerics/distributions.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { beggMazumdarTest } from '../../../src/robustness/smallStudies/beggMazumdarTest.ts';
import { maximiseSelection } from '../../../src/robustness/smallStudies/maximiseSelection.ts';
import { precisionEffect } from '../../../src/robustness/smallStudies/precisionEffectTests.ts';
import {
  eggerTest,
  harbordTest,
  petersTest,
  type RegressionTest,
  rateSizeTest,
} from '../../../src/robustness/smallStudies/regressionTests.ts';
import {
  selectionData,
  selectionLikelihood,
} from '../../../src/robustness/smallStudies/selectionLikelihood.ts';
import { type SelectionModel, selectionModel } from '../../../src/robustness/smallStudies/selectionModel.ts';
import { smallStudyTests } from '../../../src/robustness/smallStudies/smallStudyTests.ts';
import {
  type TrimAndFill,
  trimAndFill,
  trimAndFillBothWays,
} from '../../../src/robustness/smallStudies/trimAndFill.ts';
import type { Coefficient } from '../../../src/robustness/smallStudies/weightedLine.ts';
import { expectClose, expectPrinted } from '../../helpers/close.ts';
import { estimatesOf, expectJsonSafe } from '../../pooling/estimates.ts';
import {
  numberIn,
  printedValue,
  published,
  recomputedList,
  recomputedNumber,
} from '../../published/published.ts';
import reference from '../../reference/robustness-r.json' with { type: 'json' };
import { estimatesFrom } from '../invented.ts';

function answered<T extends { readonly kind: string }>(
  answer: T,
): Exclude<T, { readonly kind: 'small-study-refusal' }> {
  if (answer.kind === 'small-study-refusal') throw new Error(`refused: ${JSON.stringify(answer)}`);
  return answer as Exclude<T, { readonly kind: 'small-study-refusal' }>;
}

/** Hackshaw AK, Law MR, Wald NJ, BMJ 1997;315:980-988. */
const smoking = published('passive-smoking-small-study-tests');
const smokingEstimates = (logDigits?: number, errorDigits?: number): Estimate[] =>
  estimatesOf(
    smoking.rows.map((row) => rounded(Math.log(numberIn(row, 'relativeRisk')), logDigits)),
    smoking.rows.map(
      (row) =>
        rounded(
          (Math.log(numberIn(row, 'upper')) - Math.log(numberIn(row, 'lower'))) / (2 * 1.959963984540054),
          errorDigits,
        ) ** 2,
    ),
    'log-risk-ratio',
  );
const rounded = (value: number, digits: number | undefined): number =>
  digits === undefined ? value : Number(value.toFixed(digits));

describe('passive smoking, 37 studies', () => {
  const estimates = smokingEstimates();

  it('Egger: recomputed in 40 digits, and the printed intercept from the rounded inputs of the books', () => {
    const { line, pValue } = answered(eggerTest(estimates));
    expectClose(
      line.intercept.value,
      recomputedNumber(smoking, 'intercept', 'Egger regression'),
      'specialFunction',
    );
    const [standardError, t, p, lower, upper] = recomputedList(
      smoking,
      'intercept standard error, t, two-sided p, 95% interval',
    );
    expectClose(line.intercept.standardError, standardError!, 'specialFunction');
    expectClose(line.intercept.t, t!, 'specialFunction');
    expectClose(pValue, p!, 'specialFunctionTail');
    expectClose(line.intercept.interval.lower, lower!, 'specialFunctionTail');
    expectClose(line.intercept.interval.upper, upper!, 'specialFunctionTail');
    const books = answered(eggerTest(smokingEstimates(3, 2)));
    const fromRounded = recomputedList(smoking, 'intercept, 95% interval, t, p with rounded inputs');
    const { intercept } = books.line;
    for (const [i, value] of [
      intercept.value,
      intercept.interval.lower,
      intercept.interval.upper,
      intercept.t,
      intercept.pValue,
    ].entries()) {
      expectClose(value, fromRounded[i]!, 'specialFunctionTail');
    }
    // from memory: 0.89
    const { printed, within, because } = printedValue(smoking, 'intercept', 'Egger regression');
    expectPrinted(intercept.value, printed as string, { within: within!, because: because! });
  });

  it('Begg and Mazumdar: recomputed tau, scores and p', () => {
    const ranks = answered(beggMazumdarTest(estimates));
    expectClose(ranks.tau, recomputedNumber(smoking, 'Kendall tau'), 'specialFunction');
    const [score, z, corrected] = recomputedList(
      smoking,
      'Kendall score, z without and with continuity correction',
    );
    expect(ranks.score).toBe(score);
    expectClose(ranks.z, z!, 'specialFunction');
    expectClose(
      (ranks.z * (Math.abs(ranks.score) - 1)) / Math.abs(ranks.score),
      corrected!,
      'specialFunction',
    );
    expectClose(ranks.pValue / 2, recomputedNumber(smoking, 'one-sided p'), 'specialFunctionTail');
  });

  it('trim and fill: seven studies on the left by either estimator and centre, none on the right', () => {
    const [leftL, leftR, rightL, rightR] = trimAndFillBothWays(estimates, {
      pool: { model: 'common-effect' },
    }).map((each) => answered(each) as TrimAndFill);
    const filled = recomputedNumber(
      smoking,
      'studies filled',
      'trim and fill, L0 estimator, common-effect centre, missing on the left',
    );
    expect([leftL!.missing, leftR!.missing, rightL!.missing, rightR!.missing]).toEqual([
      filled,
      recomputedNumber(smoking, 'studies filled', 'trim and fill, R0 estimator'),
      0,
      0,
    ]);
    const common = 'inverse-variance, common effect, after trim and fill';
    expectClose(
      leftL!.after.natural!.value,
      recomputedNumber(smoking, 'filled relative risk', common),
      'specialFunction',
    );
    const random = answered(trimAndFill(estimates)) as TrimAndFill;
    const method = 'random effects, DerSimonian-Laird, after trim and fill';
    expectClose(
      random.after.natural!.value,
      recomputedNumber(smoking, 'filled relative risk', method),
      'specialFunction',
    );
    expectPrinted(
      random.after.natural!.value,
      printedValue(smoking, 'filled relative risk', method).printed as string,
    );
    const [count, commonRisk, randomRisk] = recomputedList(
      smoking,
      'studies filled; filled common-effect and random-effects relative risks',
    );
    const centred = answered(trimAndFill(estimates, { centre: 'random-effects' })) as TrimAndFill;
    expect(centred.missing).toBe(count);
    expectClose(centred.after.natural!.value, randomRisk!, 'specialFunction');
    const centredCommon = answered(
      trimAndFill(estimates, { centre: 'random-effects', pool: { model: 'common-effect' } }),
    ) as TrimAndFill;
    expectClose(centredCommon.after.natural!.value, commonRisk!, 'specialFunction');
  });

  it('the selection model without selection is maximum likelihood', () => {
    const { unselected } = answered(selectionModel(estimates, { favoured: 'positive' }));
    expectClose(
      unselected.mean,
      recomputedNumber(smoking, 'log relative risk: pooled effect', 'random effects, maximum likelihood'),
      'iterative',
    );
    expectClose(
      unselected.betweenStudyVariance,
      recomputedNumber(smoking, 'log relative risk: between-study variance', 'maximum likelihood'),
      'iterative',
    );
  });
});

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

describe('base R on 24 invented trials', () => {
  const sameLine = (coefficient: Coefficient, row: readonly number[]) => {
    const { value, standardError, t, pValue, interval } = coefficient;
    for (const [i, actual] of [value, standardError, t, pValue, interval.lower, interval.upper].entries())
      expectClose(actual, row[i]!, 'specialFunctionTail');
  };

  it.each([
    ['egger', eggerTest],
    ['harbord', harbordTest],
    ['peters', petersTest],
  ] as const)('%s: lm', (name, test) => {
    const { line, tested, pValue } = answered(test(odds)) as RegressionTest;
    sameLine(line.intercept, reference[name].intercept);
    sameLine(line.slope, reference[name].slope);
    expect(pValue).toBe(line[tested].pValue);
  });

  it('sample size and arcsine rate: lm', () => {
    const arms = data.eventsTreated.map((events, i) => ({
      study: `study-${i}`,
      label: `Place ${i} 2020`,
      events,
      total: data.totalTreated[i]!,
    }));
    const { line, tested } = answered(rateSizeTest(estimateRates(arms, { scale: 'arcsine' }).estimates));
    sameLine(line.intercept, reference.rateSize.intercept);
    sameLine(line.slope, reference.rateSize.slope);
    expect(tested).toBe('slope');
  });

  it('precision-effect lines: lm, and the rule that chooses', () => {
    const both = answered(precisionEffect(odds));
    sameLine(both.linear.intercept, reference.linear.intercept);
    sameLine(both.linear.slope, reference.linear.slope);
    sameLine(both.squared.intercept, reference.squared.intercept);
    sameLine(both.squared.slope, reference.squared.slope);
    expect(both.chosen).toBe(reference.linear.intercept[3]! < 0.1 ? 'squared' : 'linear');
    expect(both.conditional).toBe(both[both.chosen].intercept);
    // The slope of the first is the classical test.
    const egger = answered(eggerTest(odds)) as RegressionTest;
    expectClose(both.linear.slope.value, egger.line.intercept.value, 'specialFunction');
  });

  it('rank correlation: cor.test, with and without ties', () => {
    const { begg, tied } = reference;
    const ranks = answered(beggMazumdarTest(odds));
    expectClose(ranks.tau, begg.tau, 'identity');
    expectClose(ranks.z, begg.z, 'identity');
    expectClose(ranks.pValue, begg.p, 'specialFunction');
    expectClose(ranks.pValueCorrected, begg.pCorrected, 'specialFunction');
    expectClose(ranks.pValueExact, begg.pExact, 'specialFunction');
    const withTies = answered(beggMazumdarTest(estimatesOf(tied.y, tied.v)));
    expectClose(withTies.tau, tied.tau, 'specialFunction');
    expectClose(withTies.z, tied.z, 'specialFunction');
    expectClose(withTies.pValue, tied.p, 'specialFunction');
    expectClose(withTies.pValueCorrected, tied.pCorrected, 'specialFunction');
    expect(withTies.pValueExact).toBeUndefined();
  });

  it.each(reference.selection)('selection at $steps: nlminb and uniroot', (expected) => {
    const model = answered(selectionModel(odds, { favoured: 'negative', steps: expected.steps }));
    expectClose(model.logLikelihood, expected.logLikelihood, 'iterative');
    // nlminb works from numerical slopes: its own end point is good to about six digits.
    expectClose(model.mean.value, expected.mean, 'otherLibrary', { ofSize: 1 });
    expectClose(model.betweenStudyVariance.value, expected.variance, 'otherLibrary', { ofSize: 1 });
    for (const [j, chance] of expected.chances.entries())
      expectClose(model.relativeChances[j]!.value, chance, 'otherLibrary', { ofSize: 10 });
    expectClose(model.mean.lower, expected.meanLower, 'otherLibrary', { ofSize: 1 });
    expectClose(model.mean.upper, expected.meanUpper, 'otherLibrary', { ofSize: 1 });
  });
});

describe('the selection model in its own equations', () => {
  const estimates = estimatesFrom(31, 40, 0.3);
  const steps = [0.025, 0.5];
  const layout = selectionData(
    estimates.map(({ value }) => value),
    estimates.map(({ variance }) => variance),
    steps,
  );
  const model = answered(selectionModel(estimates, { favoured: 'positive', steps })) as SelectionModel;
  const at = [
    model.mean.value,
    Math.sqrt(model.betweenStudyVariance.value),
    ...model.relativeChances.map(({ value }) => Math.log(value)),
  ];

  it('has slopes that differences of the likelihood confirm, and none at the maximum', () => {
    const slopes = new Float64Array(4);
    const point = [0.1, 0.4, -0.5, -1];
    selectionLikelihood(layout, point, slopes);
    const scrap = new Float64Array(4);
    for (const i of point.keys()) {
      const moved = (by: number) =>
        selectionLikelihood(
          layout,
          point.map((x, j) => (i === j ? x + by : x)),
          scrap,
        );
      expectClose((moved(1e-5) - moved(-1e-5)) / 2e-5, slopes[i]!, 'otherLibrary');
    }
    selectionLikelihood(layout, at, slopes);
    for (const slope of slopes) expect(Math.abs(slope)).toBeLessThan(1e-7);
  });

  it('has profile limits at which twice the log-likelihood has fallen by the chi-square quantile', () => {
    const fallen = (parameter: number, value: number): number => {
      const start = [...at];
      start[parameter] = value;
      const held = at.map((_, i) => i === parameter);
      return 2 * (model.logLikelihood - maximiseSelection(layout, [start], held)!.value);
    };
    for (const limit of [model.mean.lower, model.mean.upper])
      expectClose(fallen(0, limit!), chiSquareQuantile(0.95, 1), 'iterative');
    expectClose(
      fallen(1, Math.sqrt(model.betweenStudyVariance.upper!)),
      chiSquareQuantile(0.95, 1),
      'iterative',
    );
    for (const [j, { lower, upper }] of model.relativeChances.entries())
      for (const limit of [lower, upper])
        if (limit !== undefined)
          expectClose(fallen(j + 2, Math.log(limit)), chiSquareQuantile(0.95, 1), 'iterative');
  });

  it('mirrors when the sign of every value and the favoured direction change', () => {
    const mirrored = answered(
      selectionModel(
        estimates.map((e) => ({ ...e, value: -e.value })),
        { favoured: 'negative', steps },
      ),
    ) as SelectionModel;
    expectClose(mirrored.mean.value, -model.mean.value, 'iterative');
    expectClose(mirrored.mean.lower, -model.mean.upper!, 'iterative');
    expectClose(mirrored.test.statistic, model.test.statistic, 'iterative');
  });

  it('refuses an interval without a study, and steps out of order are misuse', () => {
    expect(selectionModel(estimates, { favoured: 'positive', steps: [1e-100] })).toMatchObject({
      kind: 'small-study-refusal',
      reason: expect.stringContaining('interval 1 of 2'),
    });
    expect(() => selectionModel(estimates, { favoured: 'positive', steps: [0.5, 0.1] })).toThrow(/rise/);
    expect(() => selectionModel(estimates, {} as { favoured: 'positive' })).toThrow(/positive, negative/);
  });
});

describe('few studies', () => {
  const few = odds.slice(0, 9);

  it('are refused by every test, and marked when forced', () => {
    const every = (force: boolean) => [
      ...smallStudyTests(few, { force }),
      ...trimAndFillBothWays(few, { force }),
      precisionEffect(few, { force }),
      selectionModel(few, { favoured: 'negative', force, steps: [0.5] }),
    ];
    for (const answer of every(false)) expect(answer.kind).toBe('small-study-refusal');
    for (const answer of every(true)) {
      if (answer.kind === 'small-study-refusal') {
        expect(answer.reason).toMatch(/no study has a p-value/);
        continue;
      }
      expect(answer.forced).toBe(true);
      expect(answer.warnings[0]).toMatch(/Forced with 9 studies/);
      expectJsonSafe(answer);
    }
    for (const answer of smallStudyTests(odds)) expect(answered(answer).forced).toBe(false);
  });

  it('ten estimates of five studies are five studies', () => {
    const paired = odds.slice(0, 10).map((e, i) => ({ ...e, study: `study-${i % 5}` }));
    expect(eggerTest(paired)).toMatchObject({ kind: 'small-study-refusal', studies: 5 });
  });
});

describe('awkward input', () => {
  it('equal precision has no line, equal values no test', () => {
    const same = estimatesOf(
      Array.from({ length: 12 }, (_, i) => Math.sin(i)),
      Array(12).fill(0.1),
    );
    expect(eggerTest(same)).toMatchObject({ reason: expect.stringContaining('same precision') });
    expect(beggMazumdarTest(same)).toMatchObject({ kind: 'small-study-refusal' });
    const zeros = estimatesOf(
      Array(12).fill(0),
      estimatesFrom(1, 12, 0).map((e) => e.variance),
    );
    expectJsonSafe(JSON.parse(JSON.stringify(eggerTest(zeros))));
    expect(answered(precisionEffect(zeros)).chosen).toBe('linear');
  });

  it('counts that are missing or empty are refused with the study named', () => {
    expect(harbordTest(smokingEstimates())).toMatchObject({
      reason: expect.stringContaining('does not carry'),
    });
    const empty = {
      ...odds[0]!,
      counts: { treated: { events: 0, total: 9 }, comparator: { events: 0, total: 9 } },
    };
    expect(petersTest([empty, ...odds.slice(1)])).toMatchObject({
      reason: expect.stringContaining('no event'),
    });
    expect(rateSizeTest(odds)).toMatchObject({ kind: 'small-study-refusal' });
    expect(precisionEffect(estimatesFrom(1, 12, 0.1, 'logit'))).toMatchObject({
      reason: expect.stringContaining('zero is not'),
    });
    expect(() => eggerTest(odds, { alpha: 0.05 } as object)).toThrow(/unknown option/);
  });

  it('a symmetric funnel is left as it is by trim and fill', () => {
    const half = estimatesFrom(4, 10, 0.4);
    const symmetric = [
      ...half,
      ...half.map((e, i) => ({ ...e, study: `mirror-${i}`, value: 0.4 - e.value })),
    ];
    for (const answer of trimAndFillBothWays(symmetric)) {
      const { missing, after, before } = answered(answer) as TrimAndFill;
      if ((answer as TrimAndFill).estimator === 'L0') expect(missing).toBe(0);
      expectClose(before.mean!.value, 0.2, 'specialFunction');
      if (missing === 0) expect(after.mean).toEqual(before.mean);
    }
  });

  it('trim and fill finds the studies that were taken away', () => {
    const half = estimatesFrom(4, 14, 0.1);
    const full = [...half, ...half.map((e, i) => ({ ...e, study: `mirror-${i}`, value: 0.4 - e.value }))];
    const kept = [...full].sort((a, b) => a.value - b.value).slice(5);
    const { missing, after, before } = answered(trimAndFill(kept)) as TrimAndFill;
    expect(missing).toBeGreaterThanOrEqual(3);
    expect(missing).toBeLessThanOrEqual(7);
    const truth = poolEstimates(full).mean!.value;
    expect(Math.abs(after.mean!.value - truth)).toBeLessThan(Math.abs(before.mean!.value - truth));
  });
});
