import { bodyInWords } from '../../certainty/bodyInWords.ts';
import { type BodyOfEvidence, nothingAnswers, notInBodySentence } from '../../certainty/bodyOfEvidence.ts';
import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import type { AbsoluteEffect } from '../../effects/absoluteEffect.ts';
import type { Protocol, ProtocolOutcome } from '../../extraction/protocol.ts';
import { isReported } from '../../extraction/reported.ts';
import type { PooledSite } from '../../extraction/site.ts';
import { rateDigits, sizeDigits } from '../../wording/numbers.ts';
import { counted } from '../../wording/words.ts';

/** Most outcomes a summary of findings shows (Cochrane Handbook, chapter 14; from memory). */
export const mostOutcomes = 7;

/** A risk from 0 to 1, in 100 shoulders, by the rule of every product. */
export const riskInHundred = (risk: number): string => rateDigits(100 * risk);

/** A difference of risks in 100 shoulders, in words that no minus sign can confuse: `17 fewer`. */
export const differenceWords = (difference: number): string =>
  difference === 0 ? 'no difference' : `${sizeDigits(100 * difference)} ${difference < 0 ? 'fewer' : 'more'}`;

type Limits = { readonly value: number; readonly lower: number; readonly upper: number };

/** `9.8 (6.6 to 14)`. */
export const riskWithLimits = ({ value, lower, upper }: Limits): string =>
  `${riskInHundred(value)} (${riskInHundred(lower)} to ${riskInHundred(upper)})`;

/** `17 fewer (21 fewer to 13 fewer)`. */
export const differenceWithLimits = ({ value, lower, upper }: AbsoluteEffect['difference']): string =>
  `${differenceWords(value)} (${differenceWords(lower)} to ${differenceWords(upper)})`;

/** `204 (3 randomised trials)`, and what is not in the number: `204 (3 randomised trials); 1 study of 31 shoulders without events is not in it`. */
export function basisText(body: BodyOfEvidence): string {
  const { shoulders, studies } = body;
  const outside = notInBodySentence(body).replace(/ in this number\.$/, ' in it');
  if (studies === 0) return outside === '' ? 'none' : `none: ${outside.replace(/ in it$/, ' pooled')}`;
  const inside = `${shoulders.toLocaleString('en-GB')} (${bodyInWords(body)})`;
  return outside === '' ? inside : `${inside}; ${outside}`;
}

/** How long the patients of a body of evidence were followed, or what the protocol asks for where nobody was. */
export function followUpText(rating: CertaintyRating | undefined, outcome: ProtocolOutcome): string {
  const months = (rating?.body.arms ?? []).flatMap(({ followUpMonths }) =>
    isReported(followUpMonths) ? [followUpMonths] : [],
  );
  const arms = rating === undefined || nothingAnswers(rating.body) ? 0 : rating.body.arms.length;
  if (arms === 0 || months.length === 0) {
    const window = outcome.windowMonths;
    const asked = window === undefined ? 'at any time' : `from ${window.minimum} to ${window.maximum} months`;
    return arms === 0 ? `asked for ${asked}` : `follow-up not reported; asked for ${asked}`;
  }
  const [least, most] = [Math.min(...months), Math.max(...months)];
  const lacking = arms - months.length;
  const range = least === most ? `${least} months` : `${least} to ${most} months`;
  return `followed for ${range}${lacking === 0 ? '' : `, not reported for ${counted(lacking, 'arm')}`}`;
}

/** A site as an operation, within a sentence. */
export function operationName(site: PooledSite): string {
  if (site === 'tenotomy') return 'tenotomy';
  return site === 'top-of-groove' ? 'fixation at the top of the groove' : `${site} fixation`;
}

/** The outcomes a summary shows: the first of the protocol, which lists the critical ones first. */
export const shownOutcomes = (protocol: Protocol): readonly ProtocolOutcome[] =>
  protocol.outcomes.slice(0, mostOutcomes);

/** What a summary says about the outcomes it shows and those it does not. */
export function outcomesNote(protocol: Protocol): string {
  const left = protocol.outcomes.slice(mostOutcomes).map(({ name }) => name);
  const order =
    'Outcomes stand in the order of the protocol, in which a review lists the critical ones first';
  return left.length === 0
    ? `${order}.`
    : `${order}; a summary holds ${mostOutcomes} at most. Not shown: ${left.join(', ')}.`;
}
