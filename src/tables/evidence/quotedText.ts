import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import type { SitePair } from '../../comparison/pairs/comparePairs.ts';
import type { Protocol } from '../../extraction/protocol.ts';
import { siteNames } from '../../extraction/site.ts';
import { effectEstimandWords, estimandWords, numberByMethod } from '../../pooling/quoted/estimandWords.ts';
import type { OtherComparisonAnswer } from '../../pooling/quoted/quotedComparison.ts';
import type { QuotedRate } from '../../pooling/quoted/quotedRate.ts';
import { markAnswer } from '../../wording/answerMark.ts';
import { ratioDigits } from '../../wording/numbers.ts';
import { listed, signedFixed } from '../../wording/words.ts';
import { percentDigits, percentLimits } from '../rateText.ts';

type Effect = Pick<OtherComparisonAnswer, 'effect' | 'interval'>;

const outcomeName = (protocol: Protocol, { question }: CertaintyRating): string =>
  protocol.outcomes.find(({ id }) => id === question.outcome)?.name ?? question.outcome;

/** What DerSimonian-Laird says beside a quoted rate, per 100; "quoted" where it is quoted itself. */
export function derSimonianLairdCell(quoted: QuotedRate | undefined): string | undefined {
  if (quoted === undefined || quoted.arms === 0) return undefined;
  if (quoted.method.startsWith('dersimonian-laird')) return 'quoted';
  const beside = quoted.others.find(({ method }) => method.startsWith('dersimonian-laird'));
  if (beside?.rate === undefined || beside.interval === undefined) return 'no answer';
  return `${percentDigits(beside.rate)} (${percentLimits(beside.interval)})`;
}

/** What the rates of a table are numbers of, the commonest first, the others with their outcome and site. */
export function quotedRateNotes(protocol: Protocol, ratings: readonly CertaintyRating[]): readonly string[] {
  const groups = new Map<string, { readonly words: string; readonly names: string[] }>();
  for (const rating of ratings) {
    const { quoted } = rating.body;
    if (quoted === undefined || quoted.arms === 0) continue;
    const words = numberByMethod(estimandWords[quoted.estimand], quoted.methodName);
    const group = groups.get(words) ?? { words, names: [] };
    groups.set(words, group);
    group.names.push(
      `${outcomeName(protocol, rating).toLowerCase()} ${siteNames[rating.question.site].toLowerCase()}`,
    );
  }
  const [most, ...rest] = [...groups.values()].sort((one, other) => other.names.length - one.names.length);
  if (most === undefined) return [];
  return [
    `Quoted: ${most.words}.${rest.map(({ words, names }) => ` For ${listed(names)}: ${words}.`).join('')} DerSimonian-Laird stands beside each.`,
  ];
}

/** An effect by one method with its limits, on the scale of the measure. */
export function effectText(
  measure: NonNullable<SitePair['quoted']>['measure'],
  { effect, interval }: Effect,
  answer?: string,
): string {
  if (effect === undefined) return 'no finite estimate';
  const one = measure === 'risk-difference' ? (value: number) => signedFixed(value, 3) : ratioDigits;
  return markAnswer(
    answer,
    `${one(effect)}${interval === undefined ? '' : ` (${one(interval.lower)} to ${one(interval.upper)})`}`,
  );
}

/** What the relative effects of a summary are numbers of, with DerSimonian-Laird's beside each. */
export function quotedEffectNotes(
  protocol: Protocol,
  ratings: readonly CertaintyRating[],
): readonly string[] {
  const groups = new Map<string, string[]>();
  const beside: string[] = [];
  for (const rating of ratings) {
    const quoted = rating.body.pair?.quoted;
    if (quoted?.effect === undefined) continue;
    const name = outcomeName(protocol, rating).toLowerCase();
    const words = numberByMethod(effectEstimandWords[quoted.estimand], quoted.methodName);
    groups.set(words, [...(groups.get(words) ?? []), name]);
    const other = quoted.others.find(({ method }) => method.startsWith('dersimonian-laird'));
    if (other !== undefined) beside.push(`${name} ${effectText(quoted.measure, other, rating.answer)}`);
  }
  if (groups.size === 0) return [];
  const told = [...groups].map(
    ([words, names]) => `${groups.size === 1 ? '' : `of ${listed(names)} `}${words}`,
  );
  return [
    `Relative effect quoted: ${told.join('; ')}.${beside.length === 0 ? '' : ` DerSimonian-Laird beside it: ${beside.join('; ')}.`}`,
  ];
}

/** Which number a certainty is about and what other methods give, for the profile of each answer. */
export function quotedProfileNote(protocol: Protocol, rating: CertaintyRating): string | undefined {
  const { body, question } = rating;
  const name = `${outcomeName(protocol, rating)}, ${siteNames[question.site].toLowerCase()}`;
  if (body.quoted !== undefined && body.quoted.rate !== undefined) {
    const { estimand, methodName, others } = body.quoted;
    const beside = others.flatMap(({ methodName: other, rate, interval }) =>
      rate === undefined
        ? []
        : [
            `${other} ${markAnswer(rating.answer, `${percentDigits(rate)}${interval === undefined ? '' : ` (${percentLimits(interval)})`}`)}`,
          ],
    );
    return `${name}: the rate is ${numberByMethod(estimandWords[estimand], methodName)}.${beside.length === 0 ? '' : ` Beside it, in 100: ${beside.join('; ')}.`}`;
  }
  const quoted = body.pair?.quoted;
  if (quoted?.effect === undefined) return undefined;
  const common = (each: OtherComparisonAnswer): boolean => each.estimand === 'common effect';
  const written = (each: OtherComparisonAnswer): string =>
    `${each.methodName} ${effectText(quoted.measure, each, rating.answer)}${each.conditionsHold === false ? ', whose conditions do not hold' : ''}`;
  const own = quoted.others.filter((each) => !common(each) && each.effect !== undefined);
  const shared = quoted.others.filter((each) => common(each) && each.effect !== undefined);
  return [
    `${name}: the ${quoted.measure.replace('-', ' ')} is ${numberByMethod(effectEstimandWords[quoted.estimand], quoted.methodName)}.`,
    ...(own.length === 0 ? [] : [`Beside it: ${own.map(written).join('; ')}.`]),
    ...(shared.length === 0
      ? []
      : [`As answers that hold if the studies share one effect: ${shared.map(written).join('; ')}.`]),
  ].join(' ');
}
