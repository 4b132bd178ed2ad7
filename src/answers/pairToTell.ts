import { inSiteOrder, type PooledSite, siteNames } from '../extraction/site.ts';
import type { Answer } from './answer.ts';
import type { ReviewAnswers } from './answersOf.ts';
import type { ComparisonQuestion } from './question.ts';
import type { Verdict } from './verdict.ts';

interface Told {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** The answer to a comparison, told the way round a speaker names the sites. Risks are proportions from 0 to 1. */
export interface PairToTell {
  readonly treatment: PooledSite;
  readonly comparator: PooledSite;
  readonly name: string;
  readonly answer: Answer;
  /** Studies that treated patients at both sites, whether or not they give an estimate. */
  readonly studies: number;
  /** The speaker names the sites the other way round than the answer's question. */
  readonly turned: boolean;
  readonly verdict: Verdict;
  /** Undefined when the answer has no number. */
  readonly risks: PairRisks | undefined;
  /** Ratio of the risks at the risk the difference is said at; undefined without one. */
  readonly ratio: Told | undefined;
}

/** Risks of both sites, and first less second. */
export interface PairRisks {
  readonly treatment: number;
  readonly comparator: number;
  readonly difference: Told;
  /** The side whose risk the difference is said at; the other follows from the pooled effect. */
  readonly held: 'treatment' | 'comparator';
  /** That site by name, whichever way round the pair is told. */
  readonly riskOf: PooledSite;
  readonly source: string;
  /** Of the risk held; without width where it was taken as known. */
  readonly riskInterval: { readonly lower: number; readonly upper: number };
  readonly riskKnown: boolean;
  /** Limits of both risks. */
  readonly limits: Readonly<
    Record<'treatment' | 'comparator', { readonly lower: number; readonly upper: number }>
  >;
}

const mirrored: Partial<Readonly<Record<Verdict, Verdict>>> = {
  fewer: 'more',
  more: 'fewer',
  'not more': 'not fewer',
  'not fewer': 'not more',
};

/** A verdict on the first site against the second, said of the second against the first. */
export const turnVerdict = (verdict: Verdict): Verdict => mirrored[verdict] ?? verdict;

const turn = ({ value, lower, upper }: Told): Told => ({
  value: 0 - value,
  lower: 0 - upper,
  upper: 0 - lower,
});

/**
 * What is known of one site against another, whichever the speaker names first?
 *
 * The answer is that of the question in the order of the sites; named the other way round, its difference and its verdict
 * are turned, and the risk it is said at stays that of the same site.
 *
 * @throws RangeError when the two sites are the same one, or the review does not ask the question
 * @example
 * pairToTell(answersOf(review), 'revision', 'tenotomy', 'subpectoral').verdict
 */
export function pairToTell(
  answers: ReviewAnswers,
  outcome: string,
  treatment: PooledSite,
  comparator: PooledSite,
): PairToTell {
  if (treatment === comparator)
    throw new RangeError(`two different sites are needed, received ${treatment} twice`);
  const [site, other] = inSiteOrder(treatment, comparator);
  const answer = answers.to({ kind: 'comparison', outcome, site, comparator: other });
  const turned = site !== treatment;
  return {
    treatment,
    comparator,
    name: `${siteNames[treatment]} against ${siteNames[comparator].toLowerCase()}`,
    answer,
    studies: answer.behind.pair?.studies.length ?? 0,
    turned,
    verdict: turned ? turnVerdict(answer.verdict) : answer.verdict,
    risks: risksOf(answer, turned),
    ratio: ratioOf(answer, turned),
  };
}

function risksOf({ quoted, question, behind }: Answer, turned: boolean): PairRisks | undefined {
  const effect = behind.rating?.body.absolute[0];
  if (quoted === undefined || effect === undefined) return undefined;
  const difference: Told = {
    value: quoted.value / 100,
    lower: quoted.lower / 100,
    upper: quoted.upper / 100,
  };
  const { comparator } = question as ComparisonQuestion;
  const own = { value: effect.risk.value, lower: effect.risk.lower, upper: effect.risk.upper };
  const held = { value: effect.baselineRisk, ...limitsOf(effect.baselineInterval) };
  const [first, second] = turned ? [held, own] : [own, held];
  return {
    treatment: first.value,
    comparator: second.value,
    difference: turned ? turn(difference) : difference,
    held: turned ? 'treatment' : 'comparator',
    riskOf: effect.riskOf ?? comparator,
    source: effect.baselineSource,
    riskInterval: limitsOf(effect.baselineInterval),
    riskKnown: effect.baselineKnown,
    limits: { treatment: limitsOf(first), comparator: limitsOf(second) },
  };
}

const limitsOf = ({ lower, upper }: { readonly lower: number; readonly upper: number }) => ({ lower, upper });

/** The ratio of risks that the pooled effect means at the risk it is said at; none where a limit is no ratio. */
function ratioOf({ behind }: Answer, turned: boolean): Told | undefined {
  const effect = behind.rating?.body.absolute[0];
  if (effect === undefined || !(effect.baselineRisk > 0)) return undefined;
  const { value, lower, upper } = effect.atThatRisk.risk;
  const [middle, least, most] = [value, lower, upper].map((risk) => risk / effect.baselineRisk) as [
    number,
    number,
    number,
  ];
  if (!(least > 0)) return undefined;
  return turned
    ? { value: 1 / middle, lower: 1 / most, upper: 1 / least }
    : { value: middle, lower: least, upper: most };
}
