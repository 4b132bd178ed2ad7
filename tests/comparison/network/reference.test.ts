// Against base R with dense matrices (tests/reference/network.R); same model, no shared code.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fitNetwork } from '../../../src/comparison/network/fitNetwork.ts';
import { networkFromCounts } from '../../../src/comparison/network/networkFromCounts.ts';
import { penalisedNetwork } from '../../../src/comparison/network/penalisedNetwork.ts';
import { splitNodes } from '../../../src/comparison/network/splitNodes.ts';
import { expectAllClose, expectClose } from '../../helpers/close.ts';
import { armsOf, nodeIsSite } from './examples.ts';

interface Arm {
  readonly study: string;
  readonly treatment: string;
  readonly events: number;
  readonly total: number;
}
interface Split {
  readonly one: string;
  readonly other: string;
  readonly tau2: number;
  readonly direct: number;
  readonly directSe: number;
  readonly indirect: number;
  readonly indirectSe: number;
  readonly omega: number;
  readonly omegaSe: number;
  readonly p: number;
}
interface Reference {
  readonly arms: readonly Arm[];
  readonly sparse: readonly Arm[];
  readonly common: {
    readonly effects: readonly number[];
    readonly covariance: readonly (readonly number[])[];
    readonly q: number;
    readonly df: number;
  };
  readonly tau2: { readonly dl: number; readonly reml: number; readonly ml: number };
  readonly random: {
    readonly effects: readonly number[];
    readonly covariance: readonly (readonly number[])[];
  };
  readonly p: Readonly<Record<'wald' | 'hartung-knapp', readonly number[]>>;
  readonly splits: readonly Split[];
  readonly splitsUnsplit: readonly Split[];
  readonly firth: {
    readonly effects: readonly number[];
    readonly se: readonly number[];
    readonly height: number;
    readonly limits: readonly [number, number];
    readonly p: number;
  };
}
const reference = JSON.parse(
  readFileSync(new URL('../../reference/network-r.json', import.meta.url), 'utf8'),
) as Reference;
const arms = (rows: readonly Arm[]) =>
  armsOf(rows.map(({ study, treatment, events, total }) => [study, treatment, events, total] as const));

describe('nine studies, two of them with three arms', () => {
  const { studies } = networkFromCounts(arms(reference.arms), { node: nodeIsSite });
  const network = fitNetwork(studies);
  const part = network.parts[0]!;

  it('common effect: effects, covariance, Q', () => {
    const [common] = fitNetwork(studies, { model: 'common-effect' }).parts;
    expectAllClose([...common!.solution.effects].slice(1), reference.common.effects, 'iterative');
    const inner = [1, 2, 3].flatMap((i) => [1, 2, 3].map((j) => common!.solution.covariance[4 * i + j]));
    expectAllClose(inner, reference.common.covariance.flat(), 'iterative');
    expectClose(common!.heterogeneity.q, reference.common.q, 'iterative');
    expect(common!.heterogeneity.degreesOfFreedom).toBe(reference.common.df);
  });

  it('between-study variance by moments, maximum and restricted likelihood', () => {
    const variance = (
      betweenStudyVariance: 'dersimonian-laird' | 'maximum-likelihood' | 'restricted-maximum-likelihood',
    ) => fitNetwork(studies, { betweenStudyVariance }).parts[0]!.heterogeneity.betweenStudyVariance;
    expectClose(variance('dersimonian-laird'), reference.tau2.dl, 'iterative');
    expectClose(variance('maximum-likelihood'), reference.tau2.ml, 'iterative');
    expectClose(variance('restricted-maximum-likelihood'), reference.tau2.reml, 'iterative');
  });

  it('random effects: effects and covariance', () => {
    expectAllClose([...part.solution.effects].slice(1), reference.random.effects, 'iterative');
    const inner = [1, 2, 3].flatMap((i) => [1, 2, 3].map((j) => part.solution.covariance[4 * i + j]));
    expectAllClose(inner, reference.random.covariance.flat(), 'iterative');
  });

  it.each(['wald', 'hartung-knapp'] as const)('p values of network effects, %s', (interval) => {
    const { comparisons } = fitNetwork(studies, { interval }).parts[0]!;
    const against = comparisons.filter(({ treatment }) => treatment === 'A');
    expectAllClose(
      against.map((each) => each.network.pValue),
      reference.p[interval],
      'otherLibrary',
    );
  });

  it.each([
    ...reference.splits.map((split) => ({ ...split, variance: 'refitted' as const })),
    ...reference.splitsUnsplit.map((split) => ({ ...split, variance: 'unsplit' as const })),
  ])('split of $one against $other, variance $variance', (split) => {
    const ours = splitNodes(part, network.options, { variance: split.variance }).find(
      ({ treatment, comparator }) => treatment === split.one && comparator === split.other,
    )!;
    expectAllClose(
      [
        ours.betweenStudyVariance,
        ours.direct.value,
        ours.direct.standardError,
        ours.indirect.value,
        ours.indirect.standardError,
        ours.difference.value,
        ours.difference.standardError,
        ours.pValue,
        ours.difference.pValue,
      ],
      [
        split.tau2,
        split.direct,
        split.directSe,
        split.indirect,
        split.indirectSe,
        split.omega,
        split.omegaSe,
        split.p,
        split.p,
      ],
      'iterative',
    );
  });
});

it('six sparse studies by penalised likelihood', () => {
  const [part] = penalisedNetwork(arms(reference.sparse), { node: nodeIsSite }).parts;
  expect(part!.converged).toBe(true);
  expectAllClose(part!.effects.slice(1), reference.firth.effects, 'iterative');
  expectAllClose(
    [1, 2, 3].map((i) => Math.sqrt(part!.covariance[5 * i]!)),
    reference.firth.se,
    'iterative',
  );
  expectClose(part!.penalisedLogLikelihood, reference.firth.height, 'otherLibrary');
  // The reference is B less A, the library's first comparison A less B.
  const { interval, pValue } = part!.comparisons[0]!.effect;
  expectAllClose([-interval.upper, -interval.lower], reference.firth.limits, 'otherLibrary');
  expectClose(pValue, reference.firth.p, 'otherLibrary');
});
