import type { BodyDesign, BodyOfEvidence } from '../../certainty/bodyOfEvidence.ts';
import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import type { AbsoluteEffect } from '../../effects/absoluteEffect.ts';
import type { Protocol, ProtocolOutcome } from '../../extraction/protocol.ts';
import { isReported } from '../../extraction/reported.ts';
import type { PooledSite } from '../../extraction/site.ts';
import { counted } from '../../wording/words.ts';

/** Most outcomes a summary of findings shows (Cochrane Handbook, chapter 14; from memory). */
export const mostOutcomes = 7;

/** A risk from 0 to 1 in 1000 shoulders, never rounded to none or all. */
export function perThousand(risk: number): string {
  const value = 1000 * risk;
  if (value > 0 && value < 0.5) return '<1';
  if (value < 1000 && value >= 999.5) return '>999';
  return value.toFixed(0);
}

/** A difference of risks in 1000 shoulders, in words that no minus sign can confuse: `174 fewer`. */
export function differencePerThousand(difference: number): string {
  const value = 1000 * difference;
  if (value === 0) return 'no difference';
  const size = Math.abs(value) < 0.5 ? 'less than 1' : Math.abs(value).toFixed(0);
  return `${size} ${value < 0 ? 'fewer' : 'more'}`;
}

type Limits = { readonly value: number; readonly lower: number; readonly upper: number };

/** `98 (66 to 144)`. */
export const riskWithLimits = ({ value, lower, upper }: Limits): string =>
  `${perThousand(value)} (${perThousand(lower)} to ${perThousand(upper)})`;

/** `174 fewer (206 to 128 fewer)`, or both directions in words: `9 fewer (31 fewer to 14 more)`. */
export function differenceWithLimits({ value, lower, upper }: AbsoluteEffect['difference']): string {
  const last = differencePerThousand(upper);
  const first = differencePerThousand(lower);
  const oneWay = lower * upper > 0 && !first.startsWith('less');
  return `${differencePerThousand(value)} (${oneWay ? first.replace(/ \w+$/, '') : first} to ${last})`;
}

const designNames: Readonly<Record<BodyDesign, readonly [one: string, several: string]>> = {
  'arms at one site': ['study', 'studies'],
  'randomised trials': ['randomised trial', 'randomised trials'],
  'non-randomised studies': ['non-randomised study', 'non-randomised studies'],
  'series against series': ['study, of one site', 'studies, each of one site'],
  network: ['study of the network', 'studies of the network'],
};

/** `204 (3 randomised trials)`. */
export function basisText({ design, shoulders, studies }: BodyOfEvidence): string {
  if (studies === 0) return 'none';
  return `${shoulders.toLocaleString('en-GB')} (${counted(studies, ...designNames[design])})`;
}

/** How long the patients of a body of evidence were followed, or what the protocol asks for where nobody was. */
export function followUpText(rating: CertaintyRating | undefined, outcome: ProtocolOutcome): string {
  const months = (rating?.body.arms ?? []).flatMap(({ followUpMonths }) =>
    isReported(followUpMonths) ? [followUpMonths] : [],
  );
  const arms = rating?.body.studies === 0 ? 0 : (rating?.body.arms.length ?? 0);
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
