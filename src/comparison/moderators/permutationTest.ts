import { seededUniform } from '../../numerics/seededUniform.ts';
import { checkOptionNames } from '../../pooling/optionChecks.ts';
import { designMatrix } from './designMatrix.ts';
import { residualVarianceOf } from './fitMetaRegression.ts';
import { covariateTerms, jointTests } from './jointTests.ts';
import type { MetaRegression } from './metaRegression.ts';
import { inferenceOf } from './regressionInference.ts';
import { type RegressionSample, regressionSample } from './regressionSample.ts';
import { weightedRegression } from './weightedRegression.ts';

export interface PermutationOptions {
  /** How many; all are taken instead when there are no more than this. Default 10,000. */
  readonly permutations?: number;
  /** Default 1. */
  readonly seed?: number;
}

/** How often shuffled studies show as much as the real ones. */
export interface PermutationResult {
  readonly kind: 'permutation-test';
  readonly options: Required<PermutationOptions>;
  /** `all`: every order of the studies; `sampled`: random ones, the real one counted among them. */
  readonly basis: 'all' | 'sampled';
  /** Orders looked at, the real one included. */
  readonly orders: number;
  /** By covariate, and for `all` together. */
  readonly tests: readonly {
    readonly covariate: string;
    readonly statistic: number;
    /** Orders that show as much or more. */
    readonly asExtreme: number;
    readonly pValue: number;
  }[];
  readonly methodsSentence: string;
}

/**
 * If the covariates had nothing to do with the results, how often would chance show as much?
 *
 * Values and their variances are shuffled together against the covariates, everything is estimated anew (the residual
 * variance too), and the joint statistic of each covariate is compared with the real one. Every order is taken when
 * there are few, `p = as extreme / all`; random ones otherwise, `p = (1 + as extreme) / (1 + drawn)`. The question is
 * whether any covariate matters: with several, the p of one assumes that the others do nothing either.
 *
 * @returns undefined when the regression could not be fitted or has no covariate left
 * @throws RangeError for rows that share a study, which cannot change places freely, or an impossible option
 *
 * Source: Higgins JPT, Thompson SG, Stat Med 2004;23:1663-1682, section 4; Phipson B, Smyth GK, Stat Appl Genet Mol
 * Biol 2010;9:39 (counting the real order).
 *
 * @example
 * permutationTest(regression, { permutations: 10000, seed: 7 })?.tests[0]?.pValue
 */
export function permutationTest(
  regression: MetaRegression,
  options: PermutationOptions = {},
): PermutationResult | undefined {
  checkOptionNames(options, ['permutations', 'seed']);
  const { permutations = 10_000, seed = 1 } = options;
  if (!(Number.isInteger(permutations) && permutations >= 100 && permutations <= 1_000_000)) {
    throw new RangeError(`permutations must be a whole number from 100 to 1000000, received ${permutations}`);
  }
  const { fit, covariates } = regression;
  const shared = regression.cautions.find(({ code }) => code === 'several-arms-of-one-study');
  if (shared) {
    throw new RangeError(`rows must come from different studies to be shuffled: ${shared.message}`);
  }
  if (!fit || fit.coefficients.length === 1) return undefined;
  // Drawn orders must not hang on the order in which the rows came.
  const design = designMatrix(
    [...fit.points].sort((a, b) => (a.estimate.study < b.estimate.study ? -1 : 1)),
    covariates,
  );
  const sample = regressionSample(design);
  const shuffled: RegressionSample = {
    ...sample,
    distances: Float64Array.from(sample.distances),
    variances: Float64Array.from(sample.variances),
  };
  const statistics = (): number[] => {
    const common = weightedRegression(shuffled, 0);
    const { used } = residualVarianceOf(shuffled, common, regression.options);
    const weighted = used > 0 ? weightedRegression(shuffled, used) : common;
    // One row a study: robust errors would be those of one row each, so the model's own statistic is shuffled.
    const { test } = regression.options;
    const inference = inferenceOf(shuffled, weighted, test === 'cluster-robust' ? 'knapp-hartung' : test);
    return jointTests(shuffled, weighted, inference, design.terms).map(({ statistic }) => statistic);
  };
  const real = statistics();
  const asExtreme = real.map(() => 0);
  const look = (order: readonly number[] | Uint32Array): void => {
    for (let row = 0; row < sample.count; row++) {
      shuffled.distances[row] = sample.distances[order[row]!]!;
      shuffled.variances[row] = sample.variances[order[row]!]!;
    }
    // An order that only swaps equal rows gives the same statistic up to rounding.
    for (const [index, statistic] of statistics().entries())
      if (statistic >= real[index]! * (1 - 1e-9)) asExtreme[index]!++;
  };
  const total = factorial(sample.count);
  const all = total <= permutations;
  if (all) everyOrder(sample.count, look);
  else drawnOrders(sample.count, permutations, seed, look);
  const orders = all ? total : permutations + 1;
  return {
    kind: 'permutation-test',
    options: { permutations, seed },
    basis: all ? 'all' : 'sampled',
    orders,
    tests: covariateTerms(design.terms).map(({ covariate }, index) => {
      const extreme = asExtreme[index]! + (all ? 0 : 1);
      return { covariate, statistic: real[index]!, asExtreme: extreme, pValue: extreme / orders };
    }),
    methodsSentence: all
      ? `P values by permutation come from all ${total} orders of the studies against their covariates.`
      : `P values by permutation come from ${permutations} random orders of the studies against their covariates (seed ${seed}), the real one counted among them.`,
  };
}

function factorial(count: number): number {
  let product = 1;
  for (let factor = 2; factor <= count; factor++) product *= factor;
  return product;
}

/** Heap's algorithm: every order once. */
function everyOrder(count: number, look: (order: readonly number[]) => void): void {
  const order = Array.from({ length: count }, (_, index) => index);
  const turns = new Array<number>(count).fill(0);
  look(order);
  for (let i = 1; i < count; ) {
    if (turns[i]! < i) {
      const other = i % 2 === 0 ? 0 : turns[i]!;
      [order[other], order[i]] = [order[i]!, order[other]!];
      look(order);
      turns[i]!++;
      i = 1;
    } else {
      turns[i] = 0;
      i++;
    }
  }
}

/** Fisher and Yates. */
function drawnOrders(
  count: number,
  permutations: number,
  seed: number,
  look: (order: Uint32Array) => void,
): void {
  const next = seededUniform(seed);
  const order = Uint32Array.from({ length: count }, (_, index) => index);
  for (let draw = 0; draw < permutations; draw++) {
    for (let last = count - 1; last > 0; last--) {
      const other = Math.floor(next() * (last + 1));
      const held = order[last]!;
      order[last] = order[other]!;
      order[other] = held;
    }
    look(order);
  }
}
