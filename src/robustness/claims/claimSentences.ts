import { counted } from '../../wording/words.ts';
import type { CheckedClaim } from './checkedClaim.ts';
import { peopleRange, withCommas } from './peopleRange.ts';

type Parts = Omit<CheckedClaim, 'sentence' | 'further' | 'methodsSentence'>;

const inAll = (events: number, total: number): string =>
  events === 0 ? `No event in ${withCommas(total)}` : `${withCommas(events)} of ${withCommas(total)}`;

const percentOf = (probability: number): string =>
  probability < 0.001
    ? 'under 0.1 %'
    : probability > 0.999
      ? 'over 99.9 %'
      : `${(100 * probability).toFixed(probability < 0.1 || probability > 0.9 ? 1 : 0)} %`;

const pText = (p: number): string => (p < 0.001 ? 'p < 0.001' : `p = ${p.toFixed(p < 0.1 ? 3 : 2)}`);

/** A checked claim in words that never say more than the numbers. */
export function claimSentences(parts: Parts): Pick<CheckedClaim, 'sentence' | 'further' | 'methodsSentence'> {
  return {
    sentence: mainSentence(parts),
    further: [...limitSentences(parts), ...armSentences(parts), ...poolSentences(parts)],
    methodsSentence: methodsSentence(parts),
  };
}

function mainSentence({ claim, exact }: Parts): string {
  const { events, total } = claim;
  const { lower, upper, base } = peopleRange(exact);
  const of = `in ${withCommas(base)}`;
  if (events === 0)
    return `No event in ${withCommas(total)} is compatible with up to ${withCommas(upper)} ${of}.`;
  if (events === total)
    return `An event in all ${withCommas(total)} is compatible with as few as ${withCommas(lower)} ${of}.`;
  return `${inAll(events, total)} is compatible with anything from ${lower === 0 ? 'less than 1' : withCommas(lower)} to ${withCommas(upper)} ${of}.`;
}

function limitSentences({ claim, limit }: Parts): string[] {
  if (limit === undefined) return [];
  const words = `under ${Number((100 * limit.limit).toPrecision(6))} %`;
  const first = {
    supported: `"${words}" can be said: every rate the series is compatible with is at or below it.`,
    contradicted: `"${words}" is contradicted: every rate the series is compatible with is above it.`,
    'cannot tell': `"${words}" cannot be said: rates on both sides of it are compatible with the series.`,
  }[limit.verdict];
  const needed =
    limit.verdict === 'supported'
      ? []
      : [
          `Without any event it would take ${counted(limit.withoutEvent.twoSided, 'shoulder')} to say so (${withCommas(limit.withoutEvent.oneSided)} by a one-sided limit).`,
          ...(claim.events > 0
            ? [
                `With ${counted(claim.events, 'event')} it would take ${counted(limit.withTheseEvents, 'shoulder')} in all, and not one event more.`,
              ]
            : []),
        ];
  return [
    first,
    ...needed,
    `The probability that the true rate is ${words} is ${percentOf(limit.probabilityBelow)}, before anything else is known (Jeffreys' prior).`,
  ];
}

function armSentences({ claim, comparison }: Parts): string[] {
  if (comparison === undefined || claim.comparator === undefined) return [];
  const { difference, fisherP, balance, fragility } = comparison;
  const points = (value: number): string => {
    const text = Math.abs(100 * value).toFixed(1);
    return `${text} ${value < 0 && Number(text) !== 0 ? 'fewer' : 'more'}`;
  };
  const first = `Against ${inAll(claim.comparator.events, claim.comparator.total).replace('No event', 'no event')}: ${points(difference.value)} per 100, compatible with ${points(difference.interval.lower)} to ${points(difference.interval.upper)} (Fisher's exact test, ${pText(fisherP)}).`;
  const notShown = 'The test does not show a difference; it cannot exclude one.';
  const decides =
    fragility.fewest === undefined
      ? fragility.differs
        ? `No change of up to ${counted(fragility.searched, 'shoulder')} would make the test stop showing a difference.`
        : `${notShown} No change of up to ${counted(fragility.searched, 'shoulder')} would make it show one.`
      : fragility.differs
        ? `The difference hangs on ${counted(fragility.fewest, 'shoulder')}: had so many gone the other way, the test would not show one.`
        : `${notShown} Had ${counted(fragility.fewest, 'shoulder')} gone the other way, it would show one.`;
  const lopsided = !balance.lopsided
    ? []
    : [
        `The arms are too lopsided for the comparison: they compare as two arms of ${Math.round(balance.asGoodAsEach)} would${balance.extremeWouldShow ? '' : `, and even ${balance.smallerIsLower ? 'no event at all' : 'nothing but events'} in the smaller would not differ from the larger`}.`,
      ];
  return [
    first,
    decides,
    ...lopsided,
    'Unless chance allotted the patients to the arms, a difference between two series is not an effect of what was done.',
  ];
}

function poolSentences({ claim, pool }: Parts): string[] {
  if (pool === undefined) return [];
  if (pool.status !== 'computed') return [`The pooled studies cannot say what to expect: ${pool.reason}`];
  const { expected, place, studies } = pool;
  const behind = `${studies} pooled ${studies === 1 ? 'study leads' : 'studies lead'}`;
  const tail =
    place === 'as expected'
      ? ''
      : `; the chance of so ${place === 'lower than expected' ? 'few' : 'many'} is ${percentOf(place === 'lower than expected' ? pool.atMost : pool.atLeast)}`;
  return [
    `${behind} one to expect ${withCommas(expected.lower)} to ${withCommas(expected.upper)} events in a next series of ${withCommas(claim.total)}; ${withCommas(claim.events)} is ${place}${tail}.`,
  ];
}

function methodsSentence({ level, limit, comparison, pool }: Parts): string {
  const percent = `${Number((100 * level).toPrecision(6))} %`;
  const parts = [
    `the exact (Clopper-Pearson) ${percent} interval and the equal-tailed posterior interval under Jeffreys' prior`,
    ...(limit === undefined ? [] : ['the limit claimed was set against the exact interval']),
    ...(comparison === undefined
      ? []
      : [
          "arms were compared by Newcombe's interval of the difference and Fisher's exact test, whose fragility was found by changing outcomes in either arm",
        ]),
    ...(pool?.status === 'computed'
      ? ['the series was set in the posterior predictive distribution of the pooled arms']
      : []),
  ];
  return `The series was given ${parts.join('; ')}.${pool?.status === 'computed' ? ` ${pool.methodsSentence}` : ''}`;
}
