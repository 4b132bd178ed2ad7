import { describe, expect, it } from 'vitest';
import { decomposeInconsistency } from '../../../src/comparison/network/decomposeInconsistency.ts';
import { fitNetwork } from '../../../src/comparison/network/fitNetwork.ts';
import { effectBetween } from '../../../src/comparison/network/leagueTable.ts';
import { loopInconsistency } from '../../../src/comparison/network/loopInconsistency.ts';
import { networkStudyFromArms } from '../../../src/comparison/network/networkFromArms.ts';
import { networkFromContrasts } from '../../../src/comparison/network/networkFromContrasts.ts';
import { posteriorNetwork } from '../../../src/comparison/network/posteriorNetwork.ts';
import { rankTreatments } from '../../../src/comparison/network/rankTreatments.ts';
import { splitNodes } from '../../../src/comparison/network/splitNodes.ts';
import { expectAllClose, expectAllPrinted, expectClose, expectPrinted } from '../../helpers/close.ts';
import {
  numberIn,
  printedValue,
  published,
  recomputedList,
  recomputedNumber,
} from '../../published/published.ts';
import { glucose, parkinson } from './examples.ts';

const drugs = [
  'acarbose',
  'benfluorex',
  'metformin',
  'miglitol',
  'pioglitazone',
  'rosiglitazone',
  'sitagliptin',
  'sulfonylurea',
  'vildagliptin',
];

// Senn et al. 2013; Rücker 2012; Krahn, Binder, König 2013; Rücker, Schwarzer 2015 (from memory).
describe('26 trials of glucose-lowering drugs', () => {
  const example = published('network-glucose-lowering');
  const common = fitNetwork(glucose(), { model: 'common-effect', betweenStudyVariance: 'dersimonian-laird' });
  const random = fitNetwork(glucose(), { betweenStudyVariance: 'dersimonian-laird' });
  const printed = (quantity: string, method?: string): string => {
    const { printed: text } = printedValue(example, quantity, method);
    if (typeof text !== 'string') throw new Error(`${quantity} is a list`);
    return text;
  };

  it.each(['metformin', 'rosiglitazone', 'acarbose', 'sulfonylurea'])(
    '%s less placebo as printed',
    (drug) => {
      expectPrinted(
        effectBetween(common.parts, drug, 'placebo')?.value,
        printed(`${drug} minus placebo: estimate`, 'generalised least squares, common effect'),
      );
    },
  );

  it('the random-effects difference, between-trial variance, Q and I-squared as printed', () => {
    // The last printed digit was rounded from a value on its edge.
    expectPrinted(
      effectBetween(random.parts, 'rosiglitazone', 'placebo')?.value,
      printed('rosiglitazone minus placebo: estimate', 'random effects, generalised DerSimonian-Laird'),
      { within: 6e-5, because: 'rounded from a value on the edge of two digits' },
    );
    const { heterogeneity } = random.parts[0]!;
    expectPrinted(
      heterogeneity.betweenStudyVariance,
      printed('between-trial variance', 'generalised DerSimonian-Laird'),
    );
    expectPrinted(heterogeneity.q, printed('Q of the network'));
    expectPrinted(heterogeneity.degreesOfFreedom, printed('degrees of freedom'));
    expectPrinted(100 * heterogeneity.iSquared!, printed('I-squared percent'));
  });

  it('Q within and between designs as printed, and every design as recomputed', () => {
    const { within, between, total, designs } = decomposeInconsistency(random.parts[0]!);
    expectAllPrinted(
      [within.q, within.degreesOfFreedom],
      printedValue(example, 'Q within designs, degrees of freedom').printed as string[],
    );
    expectAllPrinted(
      [between.q, between.degreesOfFreedom],
      printedValue(example, 'Q between designs, degrees of freedom').printed as string[],
    );
    expectClose(within.q + between.q, total.q, 'identity');
    const some = designs.filter(({ degreesOfFreedom }) => degreesOfFreedom > 0);
    expect(some).toHaveLength(5);
    for (const { treatments, q, degreesOfFreedom } of some)
      expectAllClose(
        [q, degreesOfFreedom],
        recomputedList(example, `Q within design ${[...treatments].sort().join(' - ')}, degrees of freedom`),
        'otherLibrary',
      );
  });

  it('ranking scores as printed', () => {
    const { treatments } = rankTreatments(random.parts[0]!, { better: 'lower' });
    expect(treatments).toHaveLength(10);
    for (const { treatment, pScore } of treatments)
      expectPrinted(
        pScore,
        printed(`ranking score (mean one-sided certainty of being better) of ${treatment}`),
      );
  });

  it.each(drugs)(
    '%s less placebo: estimate and standard error as recomputed at 40 digits, two models and REML',
    (drug) => {
      const quantity = `${drug} minus placebo: estimate, standard error`;
      const reml = fitNetwork(glucose(), { betweenStudyVariance: 'restricted-maximum-likelihood' });
      for (const [network, method, tier] of [
        [common, 'generalised least squares, common effect', 'iterative'],
        [random, 'random effects, generalised DerSimonian-Laird', 'iterative'],
        [reml, 'random effects, restricted maximum likelihood', 'otherLibrary'],
      ] as const) {
        const effect = effectBetween(network.parts, drug, 'placebo')!;
        expectAllClose(
          [effect.value, effect.standardError],
          recomputedList(example, quantity, method),
          tier,
          { label: method },
        );
      }
      expectClose(
        reml.parts[0]!.heterogeneity.betweenStudyVariance,
        recomputedNumber(example, 'between-trial variance', 'restricted maximum likelihood'),
        'otherLibrary',
      );
    },
  );
});

// NICE Decision Support Unit Technical Support Document 2, Parkinson example (from memory).
describe('seven trials in Parkinson disease, one with three arms', () => {
  const example = published('network-parkinson');
  const fixed = fitNetwork(parkinson(), { model: 'common-effect' });
  const because = 'printed from a simulation, whose own error reaches the second decimal';
  const flat = 'generalised least squares (common effect; equals the flat-prior posterior)';

  it.each(['2', '3', '4', '5'])('treatment %s, fixed effect', (treatment) => {
    const { value, standardError, interval } = effectBetween(fixed.parts, treatment, '1')!;
    const quantity = `effect of treatment ${treatment}: estimate, sd, 2.5%, 97.5%`;
    const ours = [value, standardError, interval.lower, interval.upper];
    expectAllPrinted(ours, printedValue(example, quantity).printed as string[], { within: 0.021, because });
    expectAllClose(ours, recomputedList(example, quantity, flat), 'iterative');
  });

  it('Q', () => {
    expectClose(
      fixed.parts[0]!.heterogeneity.q,
      recomputedNumber(example, 'Q of the network'),
      'otherLibrary',
    );
  });

  it('Bayesian random effects within simulation error of print, and at quadrature elsewhere', () => {
    const posterior = posteriorNetwork(fitNetwork(parkinson()).parts[0]!, {
      deviationPrior: { kind: 'uniform', upper: 5 },
    })!;
    const method = 'Bayesian random effects, sd Uniform(0, 5), flat priors';
    for (const treatment of ['2', '3', '4', '5']) {
      const found = posterior.comparisons.find(
        (each) => each.treatment === '1' && each.comparator === treatment,
      )!;
      const quantity = `effect of treatment ${treatment}: posterior mean, sd`;
      const ours = [-found.mean, found.standardDeviation];
      expectAllPrinted(ours, printedValue(example, quantity).printed as string[], { within: 0.011, because });
      expectAllClose(ours, recomputedList(example, quantity, method), 'otherLibrary');
    }
    const { mean, standardDeviation } = posterior.betweenStudyDeviation;
    const quantity = 'between-trial sd: posterior mean, sd';
    expectAllPrinted([mean, standardDeviation], printedValue(example, quantity).printed as string[], {
      within: 0.011,
      because,
    });
    expectAllClose([mean, standardDeviation], recomputedList(example, quantity, method), 'otherLibrary');
    expect(posterior.disagreement).toBeLessThan(1e-7);
  });
});

// Bucher et al. 1997 (page seen).
describe('direct against indirect evidence on pneumonia prophylaxis', () => {
  const example = published('indirect-comparison-inconsistency');
  const [indirect, direct] = example.rows.map((row) => ({
    value: Math.log(numberIn(row, 'odds_ratio')),
    se: (Math.log(numberIn(row, 'upper_95')) - Math.log(numberIn(row, 'lower_95'))) / (2 * 1.959963984540054),
  })) as [{ value: number; se: number }, { value: number; se: number }];
  // The indirect estimate is a - b by way of c, its variance shared out between the two legs.
  const half = indirect.se / Math.SQRT2;
  const studies = networkFromContrasts(
    [
      {
        study: 'direct',
        label: 'direct',
        treatment: 'a',
        comparator: 'b',
        value: direct.value,
        standardError: direct.se,
      },
      {
        study: 'one leg',
        label: 'one leg',
        treatment: 'a',
        comparator: 'c',
        value: indirect.value,
        standardError: half,
      },
      {
        study: 'other leg',
        label: 'other leg',
        treatment: 'c',
        comparator: 'b',
        value: 0,
        standardError: half,
      },
    ],
    'log-odds-ratio',
  );
  const network = fitNetwork(studies, { model: 'common-effect' });
  const part = network.parts[0]!;

  it('p of the difference as printed, by loop and by node-split', () => {
    const text = printedValue(example, 'p of the difference').printed as string;
    const [split] = splitNodes(part, network.options).filter(
      ({ treatment, comparator }) => treatment === 'a' && comparator === 'b',
    );
    expectPrinted(split!.pValue, text, { because: 'the page prints two digits' });
    expectPrinted(loopInconsistency(part)[0]!.pValue, text, { because: 'the page prints two digits' });
    expectClose(split!.pValue, recomputedNumber(example, 'p of the difference'), 'iterative');
    const [difference, standardError] = recomputedList(
      example,
      'difference of log odds ratios, its standard error and z',
    );
    expectAllClose(
      [-split!.difference.value, split!.difference.standardError],
      [difference!, standardError!],
      'iterative',
    );
  });

  it('direct and indirect combined', () => {
    const { value, interval } = effectBetween(network.parts, 'a', 'b')!;
    expectAllClose(
      [value, interval.lower, interval.upper].map(Math.exp),
      recomputedList(example, 'combined odds ratio and interval'),
      'iterative',
    );
  });
});

// Dias, Welton, Sutton, Ades 2013: contrasts that share an arm covary by that arm's variance.
it('arms of one study give contrasts whose covariance is the shared arm', () => {
  const study = networkStudyFromArms({ study: 's', label: 'S', scale: 'plain' }, [
    { treatment: 'a', value: 1, variance: 0.2 },
    { treatment: 'b', value: 3, variance: 0.3 },
    { treatment: 'c', value: 4, variance: 0.4 },
  ]);
  expect(study.values).toEqual([2, 3]);
  expectAllClose(study.covariance.flat(), [0.5, 0.2, 0.2, 0.6], 'identity');
});
