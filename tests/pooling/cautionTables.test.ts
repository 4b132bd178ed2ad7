// Every caution of a pool on both sides of its border. Cases are written from the words of the rules (the docstrings and
// docs/methods.md), not from what the code gives; thresholds without a source are marked there as common practice.
import { describe, expect, it } from 'vitest';
import type { BinomialNormalFit } from '../../src/pooling/binomialNormalFit.ts';
import { testBasedHSquaredInterval } from '../../src/pooling/heterogeneity.ts';
import { type IntervalFacts, intervalChoiceCaution } from '../../src/pooling/intervalChoiceCaution.ts';
import { cautionsAboutStudies, type PoolFacts } from '../../src/pooling/poolCautions.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { cautionsAboutRates, differMaterially } from '../../src/pooling/rateCautions.ts';
import { expectClose } from '../helpers/close.ts';
import { estimatesOf } from './estimates.ts';

const codesOf = (cautions: readonly { readonly code: string }[]): readonly string[] =>
  cautions.map(({ code }) => code);

describe('cautions about which and how many studies were pooled', () => {
  const plain: PoolFacts = {
    estimates: 12,
    studies: 12,
    identical: false,
    addedToEachCell: 0,
    corrected: 0,
    repeated: [],
    heaviest: { label: 'Elmford 2019', weight: 0.2 },
    leftOut: [],
  };
  const of = (facts: Partial<PoolFacts>): readonly string[] =>
    codesOf(cautionsAboutStudies({ ...plain, ...facts }));

  it.each<[Partial<PoolFacts>, readonly string[]]>([
    [{}, []],
    // How many studies: none, one, two, three or four, five and more.
    [{ estimates: 0, studies: 0, heaviest: undefined }, ['nothing-to-pool']],
    [{ estimates: 1, studies: 1 }, ['one-study']],
    [{ estimates: 2, studies: 2 }, ['fewer-than-three-studies']],
    [{ estimates: 3, studies: 3 }, ['fewer-than-five-studies']],
    [{ estimates: 4, studies: 4 }, ['fewer-than-five-studies']],
    [{ estimates: 5, studies: 5 }, []],
    // One study that gives several arms is still one study.
    [{ estimates: 3, studies: 1, repeated: ['Elmford 2019'] }, ['one-study', 'several-arms-of-one-study']],
    // More than half of the weight; half is not more, and one study alone has all of it anyway.
    [{ heaviest: { label: 'Elmford 2019', weight: 0.5 } }, []],
    [{ heaviest: { label: 'Elmford 2019', weight: 0.5001 } }, ['one-study-dominates']],
    [{ heaviest: { label: 'Elmford 2019', weight: 0.9 } }, ['one-study-dominates']],
    [{ estimates: 1, studies: 1, heaviest: { label: 'Elmford 2019', weight: 1 } }, ['one-study']],
    [
      { estimates: 2, studies: 2, heaviest: { label: 'Elmford 2019', weight: 0.51 } },
      ['fewer-than-three-studies', 'one-study-dominates'],
    ],
    // One value is always like itself.
    [{ identical: true }, ['identical-estimates']],
    [{ estimates: 1, studies: 1, identical: true }, ['one-study']],
    [{ estimates: 2, studies: 2, identical: true }, ['fewer-than-three-studies', 'identical-estimates']],
    [{ corrected: 1, addedToEachCell: 0.5 }, ['correction-added']],
    [{ corrected: 0, addedToEachCell: 0.5 }, []],
    [{ repeated: ['Elmford 2019'] }, ['several-arms-of-one-study']],
    [
      { leftOut: [{ study: 'a', label: 'Ashby 2012', reason: 'no standard deviation', rows: [] }] },
      ['arms-left-out'],
    ],
  ])('%j: %j', (facts, codes) => {
    expect(of(facts)).toEqual(codes);
  });

  it('names what it speaks of: studies, weight, arms left out and why, what was added to how many', () => {
    const [few, left, corrected, heavy, repeated] = cautionsAboutStudies({
      ...plain,
      estimates: 5,
      studies: 4,
      addedToEachCell: 0.5,
      corrected: 2,
      repeated: ['Elmford 2019', 'Ashby 2012'],
      heaviest: { label: 'Elmford 2019', weight: 0.626 },
      leftOut: [
        { study: 'a', label: 'Birchwell 2014', reason: 'no standard deviation', rows: [] },
        { study: 'b', label: 'Corley 2015', reason: 'another scale', rows: [] },
      ],
    });
    expect(few?.message).toMatch(/^Fewer than five studies \(4\)/);
    expect(left?.message).toContain('Birchwell 2014 (no standard deviation); Corley 2015 (another scale).');
    expect(corrected?.message).toContain('0.5 was added to each cell of 2 of 5 estimates');
    expect(heavy?.message).toMatch(/^Elmford 2019 carries 63 % of the weight/);
    expect(repeated?.message).toContain('comes from Elmford 2019, Ashby 2012:');
  });

  it.each([
    ['nothing-to-pool', { estimates: 0, studies: 0, heaviest: undefined }, 'No study could be pooled'],
    ['one-study', { estimates: 1, studies: 1 }, 'All of this comes from one study'],
    ['fewer-than-three-studies', { estimates: 2, studies: 2 }, 'Two studies only'],
    ['identical-estimates', { identical: true }, 'All estimates have the same value'],
  ] as const)('%s is said', (code, facts, words) => {
    const caution = cautionsAboutStudies({ ...plain, ...facts }).find((each) => each.code === code);
    expect(caution?.message).toContain(words);
  });
});

describe('two ways to pool rates that a reader must be told of', () => {
  it.each<[number, number, number, boolean]>([
    // At least the material difference, as a proportion.
    [0.3, 0.25, 0.05, true],
    [0.3, 0.2501, 0.05, false],
    [0.25, 0.3, 0.05, true],
    // More than 1.5 times, in events: 3 against 2 in 1,000 is exactly that, and not more.
    [0.003, 0.002, 0.02, false],
    [0.00301, 0.002, 0.02, true],
    [0.002, 0.00301, 0.02, true],
    // And in shoulders without the event.
    [0.997, 0.998, 0.02, false],
    [0.9969, 0.998, 0.02, true],
    [0.998, 0.9969, 0.02, true],
    // None against none is no difference; none against any is more than any multiple.
    [0, 0, 0.02, false],
    [1, 1, 0.02, false],
    [0, 0.001, 0.02, true],
    [1, 0.999, 0.02, true],
  ])('%d and %d, at %d: %s', (one, other, material, differs) => {
    // 0.3 - 0.25 is a hair less than 0.05 in binary; the border itself is asked a hair inside.
    expect(differMaterially(one, other, material * (1 - 1e-12))).toBe(differs);
  });

  const oneStep = (facts: Partial<BinomialNormalFit>): BinomialNormalFit => ({
    kind: 'binomial-normal-fit',
    status: 'converged',
    reason: undefined,
    mean: -2,
    standardError: 0.2,
    betweenStudyDeviation: 0.4,
    deviationStandardError: undefined,
    logLikelihood: -10,
    likelihoodRatio: undefined,
    rate: 0.1,
    interval: undefined,
    meanOfStudies: undefined,
    intervalMethod: 'wald',
    prediction: undefined,
    quadrature: 'gauss-hermite',
    quadraturePoints: 20,
    level: 0.95,
    ...facts,
  });
  const twoStep = poolEstimates(estimatesOf([-2.2, -2.1, -2.3, -2.2, -2.25], Array(5).fill(0.04), 'logit'));
  const cautions = (events: number, shoulders: number, fit: Partial<BinomialNormalFit> = {}) =>
    cautionsAboutRates({ events, shoulders, twoStep, oneStep: oneStep(fit), materialDifference: 0.02 });

  it.each<[number, number, Partial<BinomialNormalFit>, readonly string[]]>([
    [10, 100, {}, []],
    [0, 100, {}, ['no-events']],
    [1, 100, {}, []],
    [99, 100, {}, []],
    [100, 100, {}, ['all-events']],
    [0, 0, {}, []],
    [10, 100, { status: 'not-converged', reason: 'No peak was found.' }, ['one-step-not-converged']],
    [10, 100, { status: 'boundary', reason: 'The variance is zero.' }, ['one-step-at-boundary']],
    [10, 100, { status: 'no-events' }, []],
    // The two-step rate is near 0.10; no one-step rate, no comparison.
    [10, 100, { rate: 0.13 }, ['one-step-differs']],
    [10, 100, { rate: 0.11 }, []],
    [10, 100, { rate: undefined }, []],
  ])('%d of %d, %j: %j', (events, shoulders, fit, codes) => {
    expect(codesOf(cautions(events, shoulders, fit))).toEqual(codes);
  });

  it('says how many shoulders, both rates in per cent, and why the one-step model failed', () => {
    expect(cautions(0, 57)[0]?.message).toMatch(/^None of 57 shoulders had the event: .*upper limit/);
    expect(cautions(57, 57)[0]?.message).toMatch(/^All of 57 shoulders had the event: .*lower limit/);
    // The mean of the logits is -2.21.
    expect(cautions(1, 57, { rate: 0.1302 })[0]?.message).toMatch(
      /^The two-step pool gives 9.89 % and the one-step model 13 %: the choice of method matters/,
    );
    expect(cautions(1, 57, { status: 'not-converged', reason: 'No peak was found.' })[0]?.message).toBe(
      'The one-step model gave no answer to check against. No peak was found.',
    );
    expect(cautions(1, 57, { status: 'boundary', reason: 'The variance is zero.' })[0]?.message).toBe(
      'One-step model: The variance is zero.',
    );
  });
});

describe('whether the interval of the mean is one to rely on', () => {
  const facts: IntervalFacts = { interval: 'wald', studies: 8, betweenStudyVariance: 0.1, imbalance: 2 };
  it.each<[Partial<IntervalFacts>, RegExp | undefined]>([
    // Wald is too short below about ten studies that differ.
    [{}, /With 8 differing studies the Wald interval.*; the Hartung-Knapp interval/],
    [{ studies: 9 }, /With 9 differing studies the Wald/],
    [{ studies: 10 }, undefined],
    [{ betweenStudyVariance: 0 }, undefined],
    // With weights more than 3 to 1 the truncated form is advised.
    [{ imbalance: 3 }, /; the Hartung-Knapp interval/],
    [{ imbalance: 3.01 }, /; as their weights are unequal, the truncated Hartung-Knapp interval/],
    // Hartung-Knapp holds, unless few studies are of unequal size.
    [{ interval: 'hartung-knapp' }, undefined],
    [{ interval: 'hartung-knapp', imbalance: 4 }, undefined],
    [{ interval: 'hartung-knapp', imbalance: 4, studies: 5 }, undefined],
    [{ interval: 'hartung-knapp', imbalance: 4, studies: 4 }, /With 4 studies of unequal weight/],
    [{ interval: 'hartung-knapp', imbalance: 3, studies: 4 }, undefined],
    [{ interval: 'truncated-hartung-knapp', imbalance: 4, studies: 4 }, undefined],
    // With two that differ nothing is satisfactory; one has no scatter to speak of.
    [{ studies: 2 }, /With two differing studies no interval/],
    [{ studies: 2, interval: 'truncated-hartung-knapp' }, /With two differing studies no interval/],
    [{ studies: 2, betweenStudyVariance: 0 }, undefined],
    [{ studies: 1 }, undefined],
    [{ studies: 1, interval: 'hartung-knapp', imbalance: 4 }, undefined],
    [{ studies: 3 }, /With 3 differing studies the Wald/],
  ])('%j: %s', (changed, said) => {
    const caution = intervalChoiceCaution({ ...facts, ...changed });
    if (said === undefined) expect(caution).toBeUndefined();
    else {
      expect(caution?.code).toBe('interval-choice');
      expect(caution?.message).toMatch(said);
    }
  });
});

describe('heterogeneity', () => {
  // Higgins and Thompson 2002, Stat Med 21:1539, equation 9: s² = (k - 1) Σw / ((Σw)² - Σw²), I² = τ² / (τ² + s²).
  it.each([
    ['equal variances', [0.1, 0.9, 0.4, 1.6, 0.2], [0.05, 0.05, 0.05, 0.05, 0.05]],
    ['unequal variances', [0.1, 0.9, 0.4, 1.6, 0.2, 1.1], [0.01, 0.2, 0.05, 0.4, 0.02, 0.1]],
  ])('I² from the variance and its interval: %s', (_, values, variances) => {
    const { heterogeneity } = poolEstimates(estimatesOf(values, variances));
    const weights = variances.map((variance) => 1 / variance);
    const sum = weights.reduce((total, weight) => total + weight, 0);
    const squares = weights.reduce((total, weight) => total + weight * weight, 0);
    const typical = ((values.length - 1) * sum) / (sum * sum - squares);
    const share = (variance: number): number => variance / (variance + typical);
    const variance = heterogeneity!.betweenStudyVarianceInterval!;
    expect(variance.lower).toBeGreaterThan(0);
    expectClose(
      heterogeneity!.iSquaredFromVariance.value,
      share(heterogeneity!.betweenStudyVariance),
      'identity',
    );
    expectClose(heterogeneity!.iSquaredFromVariance.interval!.lower, share(variance.lower), 'identity');
    expectClose(heterogeneity!.iSquaredFromVariance.interval!.upper, share(variance.upper), 'identity');
    expect(heterogeneity!.iSquaredFromVariance.interval!.level).toBe(0.95);
  });

  it('I² and H² at and on both sides of Q equal to its degrees of freedom', () => {
    // Two values d apart with variance 1 give Q = d² / 2 on one degree of freedom.
    for (const [q, iSquared, hSquared] of [
      [0.5, 0, 1],
      [1, 0, 1],
      [2, 0.5, 2],
      [4, 0.75, 4],
    ] as const) {
      const { heterogeneity } = poolEstimates(estimatesOf([0, Math.sqrt(2 * q)], [1, 1]));
      expectClose(heterogeneity!.q, q, 'identity');
      expect(heterogeneity!.degreesOfFreedom).toBe(1);
      expectClose(1 + heterogeneity!.iSquared, 1 + iSquared, 'identity');
      expectClose(heterogeneity!.hSquared, hSquared, 'identity');
    }
  });

  // Higgins and Thompson 2002, appendix A.2, worked out here once more from its words.
  const appendix = (q: number, k: number, z: number): readonly [number, number] => {
    // H is never below 1 (section 3), and for two studies with a Q up to 2 the paper has no formula: ours is π / √8.
    const logH = 0.5 * Math.max(0, Math.log(q / (k - 1)));
    const error =
      q > k
        ? (Math.log(q) - Math.log(k - 1)) / (2 * (Math.sqrt(2 * q) - Math.sqrt(2 * k - 3)))
        : k === 2
          ? Math.PI / Math.sqrt(8)
          : Math.sqrt((1 / (2 * (k - 2))) * (1 - 1 / (3 * (k - 2) ** 2)));
    return [Math.max(1, Math.exp(logH - z * error)) ** 2, Math.max(1, Math.exp(logH + z * error)) ** 2];
  };

  it.each<[q: number, studies: number]>([
    [5, 5],
    [5.001, 5],
    [4.999, 5],
    [30, 5],
    [2.5, 3],
    [3.5, 3],
    [2.001, 2],
    [9, 2],
    [8, 12],
  ])('test-based interval of H² at Q of %d from %d studies', (q, studies) => {
    const found = testBasedHSquaredInterval(q, studies, 0.95);
    const [lower, upper] = appendix(q, studies, 1.959963984540054);
    expectClose(found.lower, lower, 'specialFunction');
    expectClose(found.upper, upper, 'specialFunction');
    expect(found.level).toBe(0.95);
    expectClose(
      testBasedHSquaredInterval(q, studies, 0.9).upper,
      appendix(q, studies, 1.6448536269514722)[1],
      'specialFunction',
    );
  });

  it.each<[string, number, number, number]>([
    ['Q is zero', 0, 5, 4],
    ['two studies have a Q of 1', 1, 2, 1],
    ['two studies have a Q below 2', 0.7, 2, 0.9],
    ['Q is next to nothing', 0.01, 8, 7],
  ])('H² has the limits of studies that agree as chance has it where %s', (_, q, studies, asChance) => {
    const found = testBasedHSquaredInterval(q, studies, 0.95);
    expect(found.lower).toBe(1);
    const [, upper] = appendix(asChance, studies, 1.959963984540054);
    expectClose(found.upper, upper, 'specialFunction');
    expect(found.upper).toBeGreaterThan(1);
  });

  it('limits of I² are 1 less one over those of H²', () => {
    const { heterogeneity } = poolEstimates(
      estimatesOf([0.1, 0.9, 0.4, 1.6, 0.2, 1.1], [0.01, 0.02, 0.05, 0.04, 0.02, 0.01]),
    );
    const { lower, upper } = heterogeneity!.hSquaredInterval!;
    expect(lower).toBeGreaterThan(1);
    expect(heterogeneity!.iSquaredInterval).toEqual({
      lower: 1 - 1 / lower,
      upper: 1 - 1 / upper,
      level: 0.95,
    });
  });
});
