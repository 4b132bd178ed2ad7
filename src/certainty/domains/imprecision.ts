import { normalQuantile } from '../../numerics/distributions.ts';
import { informationSize } from '../../robustness/claims/informationSize.ts';
import { relativeText } from '../../wording/ratioText.ts';
import { counted } from '../../wording/words.ts';
import { mixtureNote } from '../bodyInWords.ts';
import type { BodyOfEvidence, InHundred } from '../bodyOfEvidence.ts';
import type { CertaintyRules } from '../certaintyRules.ts';
import { type CertaintyEvidence, type DomainProposal, levelsDown } from '../domainProposal.ts';
import {
  differenceInHundred,
  type HundredThresholds,
  hundredText,
  rateInHundred,
  shareText,
  thresholdsOf,
} from '../perHundred.ts';

/**
 * Could the play of chance alone make the answer mean something else?
 *
 * Comparisons: what is rated is the statement the sentence makes. Where the point lies names it: little to no difference,
 * a slight, a moderate or a large one. The interval of the ABSOLUTE difference is held against the lines of that statement:
 * those on the effect's own side that it would have to cross to be less than is said (the smallest difference that
 * matters, and the moderate and the large one for an effect called so; one level each, two at the most), and the smallest
 * difference that matters on the other side (one level). One level more where the interval is wider than twice the large
 * difference. Where none of this applies, the optimal information size: one level when the studies hold fewer shoulders
 * than a trial would need to find the smallest difference that matters, two when they hold less than a stated share of
 * them, however large the relative effect is; none when the whole interval lies within the smallest difference that matters
 * on both sides, since so narrow an interval says by itself that there is enough.
 *
 * Rates: how far the interval reaches from the rate, against the same thresholds: further than the smallest difference
 * that matters one level, than the moderate two, than the large three. Where it does not, one level when there are fewer
 * shoulders than it takes to know the rate to within the smallest difference.
 *
 * @see Zeng L and others, GRADE guidance 34, J Clin Epidemiol 2022;150:216 (the target of the rating follows the point; the
 *   interval first and the information size where it crosses no line, more than one level where it is far from met).
 *   Schünemann HJ and others, GRADE guidance 35, J Clin Epidemiol 2022;150:225 (a level for each line crossed, up to three;
 *   from memory). Iorio A and others, BMJ 2015;350:h870 (rates). Ours: the level for width, the share of the information
 *   size, and that it is asked for whatever the relative effect.
 * @example
 * imprecision({ question, body }, rules).proposed // -2 for 21 fewer (40 fewer to 6 fewer), with 10 moderate and 20 large
 */
export function imprecision(
  { question, body }: Pick<CertaintyEvidence, 'question' | 'body'>,
  rules: CertaintyRules,
): DomainProposal {
  const { estimate } = body;
  const thresholds = thresholdsOf(body.outcome);
  if (estimate === undefined) {
    const words = noEstimate(body);
    return { proposed: -3, evidence: [words], decisive: [words] };
  }
  return question.kind === 'rate'
    ? ofRate(estimate, body, thresholds)
    : ofDifference(estimate, body, thresholds, rules);
}

/**
 * What a body without a difference in 100 says: nothing, or a ratio with no risk to say it at. Without a number all counts
 * are outside it.
 */
function noEstimate({ studies, events, shoulders, notInNumber, relative }: BodyOfEvidence): string {
  const all = studies + new Set(notInNumber.map(({ study }) => study)).size;
  const sum = (what: 'events' | 'shoulders'): number =>
    notInNumber.reduce((total, each) => total + each[what], what === 'events' ? events : shoulders);
  const counts = `${counted(sum('events'), 'event')} in ${counted(sum('shoulders'), 'shoulder')}`;
  return relative === undefined
    ? `${counted(all, 'study gives', 'studies give')} no estimate with an interval (${counts}), so the answer could be anything.`
    : `${relativeText(relative)} from ${counted(all, 'study', 'studies')} (${counts}), with no risk to say it at: the difference in 100 is not known.`;
}

/** The line a size begins at, with the words for it. */
interface SizeLine {
  readonly at: number;
  readonly words: string;
}

/** The lines on the effect's own side that bound what is said of its size, nearest to no difference first. */
function linesOf(
  value: number,
  { material, moderate, large, declared }: HundredThresholds,
): readonly SizeLine[] {
  const size = Math.abs(value);
  return [
    { at: material, words: 'the smallest difference that matters' },
    ...(declared && size >= moderate ? [{ at: moderate, words: 'a moderate difference' }] : []),
    ...(declared && size >= large ? [{ at: large, words: 'a large difference' }] : []),
  ];
}

function ofDifference(
  estimate: InHundred,
  body: BodyOfEvidence,
  thresholds: HundredThresholds,
  rules: CertaintyRules,
): DomainProposal {
  const { material, large } = thresholds;
  const side = estimate.value < 0 ? -1 : 1;
  const inside = (line: number): boolean => estimate.lower < line && line < estimate.upper;
  const lines = linesOf(estimate.value, thresholds);
  const own = lines.filter(({ at }) => inside(side * at));
  const other = inside(-side * material);
  const width = estimate.upper - estimate.lower;
  const wide = width > 2 * large;
  const levels = Math.min(2, own.length) + (other ? 1 : 0) + (wide ? 1 : 0);
  const numbers = `${differenceInHundred(estimate)}${mixtureNote(body.design)}, against ${hundredText(material)} in 100 as the smallest difference that matters (${thresholds.source}).`;
  const direction = (sign: number): string => (sign < 0 ? 'fewer' : 'more');
  const lineWords = ({ at, words }: SizeLine, sign: number): string =>
    `${hundredText(at)} ${direction(sign)} (${words})`;
  const crossing = [
    ...own.map((line) => lineWords(line, side)),
    ...(other ? [lineWords(lines[0]!, -side)] : []),
  ];
  const target = lines.at(-1)!;
  const rated =
    Math.abs(estimate.value) < material
      ? 'that the difference is smaller than matters'
      : `a difference of at least ${lineWords(target, side)}`;
  const crossed =
    crossing.length === 0
      ? `Rated is ${rated}; no line of that statement lies inside the interval.`
      : `Rated is ${rated}; inside the interval ${crossing.length === 1 ? 'lies' : 'lie'} ${crossing.join(' and ')}${own.length > 0 && other ? ', so it is compatible with a benefit that matters and with a harm that matters' : ''}.`;
  const tooWide = `It is ${hundredText(width)} in 100 wide, more than twice the ${hundredText(large)} that ${thresholds.declared ? 'the protocol calls large' : 'is taken as large (ours)'}.`;
  const evidence = [numbers, crossed, ...(wide ? [tooWide] : [])];
  const size = informationOf(body, material);
  const information =
    size &&
    `Optimal information size: ${size.needed} shoulders to find ${hundredText(material)} in 100 from a risk of ${hundredText(100 * size.trial.rates[0])} in 100; the studies hold ${size.held}.`;
  if (levels > 0)
    return {
      proposed: levelsDown(levels, 3),
      evidence: information === undefined ? evidence : [...evidence, information],
      decisive: evidence,
    };
  if (size === undefined || information === undefined) return { proposed: 0, evidence };
  if (-material <= estimate.lower && estimate.upper <= material)
    return {
      proposed: 0,
      evidence: [
        ...evidence,
        `${information} The whole interval lies within ${hundredText(material)} in 100 on both sides, so the size takes nothing off.`,
      ],
    };
  if (size.held >= size.needed) return { proposed: 0, evidence: [...evidence, information] };
  const few = size.held < rules.fewFraction * size.needed;
  const lacking = `${information} That is ${shareText(size.share)} of it${few ? `, less than the ${shareText(rules.fewFraction)} below which it counts twice: two levels` : ': one level'}.`;
  return { proposed: few ? -2 : -1, evidence: [...evidence, lacking], decisive: [lacking] };
}

function informationOf(
  { absolute, design, shoulders, effectiveShoulders }: BodyOfEvidence,
  material: number,
) {
  // A network of contrasts without counts: how many shoulders it is worth is not known.
  if (design === 'network' && effectiveShoulders === undefined) return undefined;
  const baseline = absolute[0]?.baselineRisk;
  const difference = material / 100;
  // Neither direction leaves a rate between 0 and 1: no such trial can be planned.
  if (baseline === undefined || (baseline - difference <= 0 && baseline + difference >= 1)) return undefined;
  return informationSize(baseline, difference, effectiveShoulders ?? shoulders);
}

function ofRate(
  estimate: InHundred,
  { events, shoulders }: BodyOfEvidence,
  thresholds: HundredThresholds,
): DomainProposal {
  const { material, moderate, large, declared } = thresholds;
  const reach = Math.max(estimate.value - estimate.lower, estimate.upper - estimate.value);
  const levels = [material, moderate, large].filter((each) => reach > each).length;
  const reached = `${rateInHundred(estimate)}: the interval reaches ${hundredText(reach)} in 100 from the rate, against ${hundredText(material)}, ${hundredText(moderate)} and ${hundredText(large)} as differences that matter, are moderate and large (${thresholds.source}${declared ? '' : '; the larger ones are ours'}).`;
  const needed = shouldersToKnow(estimate, material);
  const held = `${counted(events, 'event')} in ${counted(shoulders, 'shoulder')}; ${needed} are needed to know such a rate to within ${hundredText(material)} in 100.`;
  const evidence = [reached, held];
  if (levels > 0) return { proposed: levelsDown(levels, 3), evidence, decisive: [reached] };
  return shoulders < needed ? { proposed: -1, evidence, decisive: [held] } : { proposed: 0, evidence };
}

/** n = z² p(1−p) / d², at the rate within the interval that asks for most. */
function shouldersToKnow({ lower, upper }: InHundred, material: number): number {
  const [low, high] = [Math.max(0, lower) / 100, Math.min(100, upper) / 100];
  const p = Math.min(Math.max(0.5, low), high);
  const z = -normalQuantile(0.025);
  return Math.ceil((z * z * p * (1 - p)) / (material / 100) ** 2);
}
