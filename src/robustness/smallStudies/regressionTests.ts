import { rateScales } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import { checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import {
  answerBase,
  refusal,
  refuse,
  type SmallStudyBase,
  type SmallStudyOptions,
  type SmallStudyRefusal,
  studiesAmong,
} from './smallStudyAnswer.ts';
import { type WeightedLine, weightedLine } from './weightedLine.ts';

/** A line of the studies' results against their precision or size, and the test of the coefficient that says "lean". */
export interface RegressionTest extends SmallStudyBase {
  readonly kind: 'regression-test';
  readonly line: WeightedLine;
  /** Which coefficient would be zero without small-study effects. */
  readonly tested: 'intercept' | 'slope';
  readonly t: number | undefined;
  /** Two-sided. */
  readonly pValue: number | undefined;
}

interface Points {
  readonly x: number[];
  readonly y: number[];
  readonly weights: number[];
}

function test(
  about: { readonly method: string; readonly source: string; readonly tested: 'intercept' | 'slope' },
  estimates: readonly Estimate[],
  options: SmallStudyOptions,
  points: () => Points,
  warnings: readonly string[] = [],
): RegressionTest | SmallStudyRefusal {
  checkOptionNames(options, ['force', 'level']);
  const level = checkLevel(options.level ?? 0.95);
  const refused = refuse(about.method, estimates, options);
  if (refused) return refused;
  const { x, y, weights } = points();
  const line = weightedLine(x, y, weights, level);
  if (!line) {
    return refusal(about.method, studiesAmong(estimates), 'all studies have the same precision or size');
  }
  const { t, pValue } = line[about.tested];
  return {
    kind: 'regression-test',
    ...answerBase(about.method, about.source, estimates, warnings),
    line,
    tested: about.tested,
    t,
    pValue,
  };
}

/**
 * Do less precise studies report other effects than precise ones?
 *
 * The classical test: `y / se` regressed on `1 / se` by ordinary least squares; the intercept is tested by t with
 * k - 2 degrees of freedom. On the log odds ratio it rejects too often, since the standard error follows the estimate:
 * use {@link harbordTest} or {@link petersTest} there. On rates near 0 or 1 it leans by itself and says so.
 *
 * @throws RangeError as `poolEstimates` for impossible estimates, and for an unknown option
 *
 * Source: Egger M, Davey Smith G, Schneider M, Minder C, BMJ 1997;315:629-634.
 *
 * @example
 * eggerTest(estimates) // { kind: 'regression-test', pValue: 0.023, … } or a refusal with its reason
 */
export function eggerTest(
  estimates: readonly Estimate[],
  options: SmallStudyOptions = {},
): RegressionTest | SmallStudyRefusal {
  const about = {
    method: 'Egger regression test',
    source: 'Egger M et al. BMJ 1997;315:629-634',
    tested: 'intercept',
  } as const;
  const scale = estimates[0]?.scale;
  const warnings: string[] = [];
  if ((rateScales as readonly string[]).includes(scale ?? '')) {
    warnings.push(
      'The standard error of a rate follows the rate: this test leans without any bias (Hunter JP et al. J Clin Epidemiol 2014;67:897-903).',
    );
  } else if (scale === 'log-odds-ratio' || scale === 'log-risk-ratio') {
    warnings.push(
      'The standard error of a log ratio follows the ratio: this test rejects too often (Harbord RM et al. Stat Med 2006;25:3443-3457).',
    );
  }
  return test(
    about,
    estimates,
    options,
    () => ({
      x: estimates.map(({ variance }) => 1 / Math.sqrt(variance)),
      y: estimates.map(({ value, variance }) => value / Math.sqrt(variance)),
      weights: estimates.map(() => 1),
    }),
    warnings,
  );
}

/**
 * Do small trials report other odds ratios than large ones, judged by scores that do not follow the estimate?
 *
 * With a, b events of n₁, n₂ and m of N in all: `Z = a - n₁ m / N`, `V = n₁ n₂ m (N - m) / (N² (N - 1))`. `Z / √V` is
 * regressed on `√V` by ordinary least squares and the intercept tested. Trials without an event, or with nothing but
 * events, carry no score and are refused.
 *
 * @param estimates each with the counts of both arms
 *
 * Source: Harbord RM, Egger M, Sterne JAC, Stat Med 2006;25:3443-3457.
 *
 * @example
 * harbordTest(oddsRatios, { force: true })
 */
export function harbordTest(
  estimates: readonly Estimate[],
  options: SmallStudyOptions = {},
): RegressionTest | SmallStudyRefusal {
  const about = {
    method: 'Harbord score-based regression test',
    source: 'Harbord RM, Egger M, Sterne JAC. Stat Med 2006;25:3443-3457',
    tested: 'intercept',
  } as const;
  const counted = bothArms(about.method, estimates);
  if ('kind' in counted) return counted;
  return test(about, estimates, options, () => {
    const scores = counted.rows.map(({ treated, comparator }) => {
      const total = treated.total + comparator.total;
      const events = treated.events + comparator.events;
      const score = treated.events - (treated.total * events) / total;
      const variance =
        (treated.total * comparator.total * events * (total - events)) / (total * total * (total - 1));
      return { score, root: Math.sqrt(variance) };
    });
    return {
      x: scores.map(({ root }) => root),
      y: scores.map(({ score, root }) => score / root),
      weights: scores.map(() => 1),
    };
  });
}

/**
 * Do small trials report other effects than large ones, size being the number of people?
 *
 * The value regressed on `1 / N`, weights `m (N - m) / N` from the m events of all N; the slope is tested.
 *
 * @param estimates each with the counts of both arms
 *
 * Source: Peters JL, Sutton AJ, Jones DR et al., JAMA 2006;295:676-680.
 *
 * @example
 * petersTest(oddsRatios)
 */
export function petersTest(
  estimates: readonly Estimate[],
  options: SmallStudyOptions = {},
): RegressionTest | SmallStudyRefusal {
  const about = {
    method: 'Peters sample-size regression test',
    source: 'Peters JL et al. JAMA 2006;295:676-680',
    tested: 'slope',
  } as const;
  const counted = bothArms(about.method, estimates);
  if ('kind' in counted) return counted;
  return test(about, estimates, options, () => {
    const sizes = counted.rows.map(({ treated, comparator }) => ({
      total: treated.total + comparator.total,
      events: treated.events + comparator.events,
    }));
    return {
      x: sizes.map(({ total }) => 1 / total),
      y: estimates.map(({ value }) => value),
      weights: sizes.map(({ total, events }) => (events * (total - events)) / total),
    };
  });
}

/**
 * Do small series report other rates than large ones?
 *
 * `arcsin √(x / n)` regressed on `1 / n` with weights n, and the slope tested. Size does not follow the rate as the
 * standard error does, and on the arcsine scale the variance is `1 / (4 n)` whatever the rate. The counts are used as they
 * are, whatever scale the estimates were pooled on and whatever was added to them: a lean that comes from adding a half to
 * small arms is none. Arms left out of the estimates cannot be seen here; {@link smallStudyTestsOfRates} takes the arms.
 *
 * @param estimates each with the count of one arm
 *
 * Sources: Hunter JP, Saratzis A, Sutton AJ et al., J Clin Epidemiol 2014;67:897-903 (size in place of the standard
 * error for rates); Rücker G, Schwarzer G, Carpenter J, Stat Med 2008;27:746-763 (arcsine scale); the regression is that of
 * Peters JL et al., JAMA 2006;295:676-680, carried over to one arm.
 *
 * @example
 * rateSizeTest(estimateRates(arms, { scale: 'arcsine' }).estimates)
 */
export function rateSizeTest(
  estimates: readonly Estimate[],
  options: SmallStudyOptions = {},
): RegressionTest | SmallStudyRefusal {
  const about = {
    method: 'sample-size regression test for rates on the arcsine scale',
    source:
      'Hunter JP et al. J Clin Epidemiol 2014;67:897-903; Rücker G et al. Stat Med 2008;27:746-763; Peters JL et al. JAMA 2006;295:676-680',
    tested: 'slope',
  } as const;
  const counts = estimates.flatMap(({ count }) => (count === undefined ? [] : [count]));
  if (counts.length < estimates.length) {
    return refusal(about.method, studiesAmong(estimates), 'an estimate does not carry the count of its arm');
  }
  return test(about, estimates, options, () => ({
    x: counts.map(({ total }) => 1 / total),
    y: counts.map(({ events, total }) => Math.asin(Math.sqrt(events / total))),
    weights: counts.map(({ total }) => total),
  }));
}

type BothArms = NonNullable<Estimate['counts']>;

function bothArms(
  method: string,
  estimates: readonly Estimate[],
): { readonly rows: readonly BothArms[] } | SmallStudyRefusal {
  const rows: BothArms[] = [];
  for (const { counts, label } of estimates) {
    const studies = studiesAmong(estimates);
    if (!counts) return refusal(method, studies, `${label} does not carry the counts of both arms`);
    const events = counts.treated.events + counts.comparator.events;
    if (events === 0 || events === counts.treated.total + counts.comparator.total) {
      return refusal(method, studies, `${label} has no event, or nothing but events, in both arms`);
    }
    rows.push(counts);
  }
  return { rows };
}
