import { normalQuantile } from '../../numerics/distributions.ts';
import { informationSize } from '../../robustness/claims/informationSize.ts';
import type { BodyOfEvidence, InHundred } from '../bodyOfEvidence.ts';
import type { CertaintyRules } from '../certaintyRules.ts';
import { type CertaintyEvidence, type DomainProposal, levelsDown } from '../domainProposal.ts';
import {
  differenceInHundred,
  type HundredThresholds,
  hundredText,
  rateInHundred,
  thresholdsOf,
} from '../perHundred.ts';

/**
 * Could the play of chance alone make the answer mean something else?
 *
 * Comparisons: the interval of the ABSOLUTE difference against the protocol's smallest difference that matters, in both
 * directions. One level for each of the two thresholds that lies inside the interval, and one more where the interval is
 * wider than twice the large difference. Where none of this applies and the relative effect is large, the optimal
 * information size: one level when the studies hold fewer shoulders than a trial would need to find the smallest
 * difference that matters, and the upper limit of the risk ratio is more than three times the lower one.
 *
 * Rates: how far the interval reaches from the rate, against the same thresholds: further than the smallest difference
 * that matters one level, than the moderate two, than the large three. Where it does not, one level when there are fewer
 * shoulders than it takes to know the rate to within the smallest difference.
 *
 * @see Zeng L and others, GRADE guidance 34, J Clin Epidemiol 2022;150:216. Schünemann HJ and others, GRADE guidance 35,
 *   J Clin Epidemiol 2022;150:225 (up to three levels; the ratio of limits above 3 from memory). Iorio A and others, BMJ 2015;350:h870 (rates). The count of
 *   levels by width is ours.
 */
export function imprecision(
  { question, body }: Pick<CertaintyEvidence, 'question' | 'body'>,
  rules: CertaintyRules,
): DomainProposal {
  const { estimate } = body;
  const thresholds = thresholdsOf(body.outcome);
  if (estimate === undefined)
    return {
      proposed: -3,
      evidence: [noEstimate(body)],
    };
  return question.kind === 'rate'
    ? ofRate(estimate, body, thresholds)
    : ofDifference(estimate, body, thresholds, rules);
}

/** Counts of a body without an estimate: all of them are outside the number, since there is none. */
function noEstimate({ studies, events, shoulders, notInNumber }: BodyOfEvidence): string {
  const all = studies + new Set(notInNumber.map(({ study }) => study)).size;
  const sum = (what: 'events' | 'shoulders'): number =>
    notInNumber.reduce((total, each) => total + each[what], what === 'events' ? events : shoulders);
  return `${all} ${all === 1 ? 'study gives' : 'studies give'} no estimate with an interval (${sum('events')} events in ${sum('shoulders')} shoulders), so the answer could be anything.`;
}

function ofDifference(
  estimate: InHundred,
  body: BodyOfEvidence,
  thresholds: HundredThresholds,
  rules: CertaintyRules,
): DomainProposal {
  const { material, large } = thresholds;
  const crossed = [-material, material].filter((each) => estimate.lower < each && each < estimate.upper);
  const width = estimate.upper - estimate.lower;
  const wide = width > 2 * large;
  const evidence = [
    `${differenceInHundred(estimate)}, against ${hundredText(material)} in 100 as the smallest difference that matters (${thresholds.source}).`,
    crossed.length === 0
      ? 'The interval lies on one side of each threshold.'
      : `The interval holds ${crossed.length === 2 ? 'both thresholds, fewer and more: it is compatible with a benefit that matters and with a harm that matters' : `the threshold of ${hundredText(material)} ${crossed[0]! < 0 ? 'fewer' : 'more'}`}.`,
    ...(wide
      ? [
          `It is ${hundredText(width)} in 100 wide, more than twice the ${hundredText(large)} that ${thresholds.declared ? 'the protocol calls large' : 'is taken as large (ours)'}.`,
        ]
      : []),
  ];
  const levels = crossed.length + (wide ? 1 : 0);
  const size = informationOf(body, material);
  if (size === undefined) return { proposed: levelsDown(levels, 3), evidence };
  const ratio = relativeSize(body);
  const isLarge = ratio !== undefined && ratio > rules.largeRelativeEffect;
  const spread = limitsRatio(body);
  const short = size.held < size.needed && spread !== undefined && spread > rules.limitsRatio;
  evidence.push(
    `Optimal information size: ${size.needed} shoulders to find ${hundredText(material)} in 100 from a risk of ${hundredText(100 * size.trial.rates[0])} in 100; the studies hold ${size.held}.${isLarge && levels === 0 && size.held < size.needed && spread !== undefined ? ` The relative effect is large, and the limits of the risk ratio lie ${spread > 99 ? 'more than 99' : spread.toPrecision(2)} times apart: ${short ? 'one level' : `not beyond ${rules.limitsRatio}, no level`}.` : ''}`,
  );
  return { proposed: levelsDown(levels === 0 && isLarge && short ? 1 : levels, 3), evidence };
}

/** How far a risk ratio lies from 1, as a reduction: 0.3 for a ratio of 0.7 or of 1 / 0.7. */
function relativeSize({ absolute }: BodyOfEvidence): number | undefined {
  const first = absolute[0];
  if (first === undefined) return undefined;
  const ratio = first.risk.value / first.baselineRisk;
  return ratio <= 0 ? 1 : 1 - Math.min(ratio, 1 / ratio);
}

/** Upper limit of the risk ratio over the lower one; a lower limit of nothing is as wide as can be. */
function limitsRatio({ absolute }: BodyOfEvidence): number | undefined {
  const first = absolute[0];
  if (first === undefined) return undefined;
  const { lower, upper } = first.atThatRisk.risk;
  return lower > 0 ? upper / lower : Number.MAX_VALUE;
}

function informationOf({ absolute, shoulders }: BodyOfEvidence, material: number) {
  const baseline = absolute[0]?.baselineRisk;
  const difference = material / 100;
  // Neither direction leaves a rate between 0 and 1: no such trial can be planned.
  if (baseline === undefined || (baseline - difference <= 0 && baseline + difference >= 1)) return undefined;
  return informationSize(baseline, difference, shoulders);
}

function ofRate(
  estimate: InHundred,
  { events, shoulders }: BodyOfEvidence,
  thresholds: HundredThresholds,
): DomainProposal {
  const { material, moderate, large, declared } = thresholds;
  const reach = Math.max(estimate.value - estimate.lower, estimate.upper - estimate.value);
  const levels = [material, moderate, large].filter((each) => reach > each).length;
  const evidence = [
    `${rateInHundred(estimate)}: the interval reaches ${hundredText(reach)} in 100 from the rate, against ${hundredText(material)}, ${hundredText(moderate)} and ${hundredText(large)} as differences that matter, are moderate and large (${thresholds.source}${declared ? '' : '; the larger ones are ours'}).`,
  ];
  const needed = shouldersToKnow(estimate, material);
  const short = shoulders < needed;
  evidence.push(
    `${events} events in ${shoulders} shoulders; ${needed} are needed to know such a rate to within ${hundredText(material)} in 100.`,
  );
  return { proposed: levelsDown(levels === 0 && short ? 1 : levels, 3), evidence };
}

/** n = z² p(1−p) / d², at the rate within the interval that asks for most. */
function shouldersToKnow({ lower, upper }: InHundred, material: number): number {
  const [low, high] = [Math.max(0, lower) / 100, Math.min(100, upper) / 100];
  const p = Math.min(Math.max(0.5, low), high);
  const z = -normalQuantile(0.025);
  return Math.ceil((z * z * p * (1 - p)) / (material / 100) ** 2);
}
