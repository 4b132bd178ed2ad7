import type { LeftOut } from '../../effects/estimate.ts';
import { rateInterval } from '../../effects/rateInterval.ts';
import type { Interval } from '../../numerics/interval.ts';
import { counted } from '../../wording/words.ts';
import { oneStudyOnly } from '../binomialNormalFit.ts';
import type { Caution } from '../caution.ts';
import { checkCounts } from '../checkCounts.ts';
import { checkChoice, checkLevel, checkOptionNames, show } from '../optionChecks.ts';
import { exactPoissonInterval } from './exactLimits.ts';
import {
  type ArmExposure,
  type OneArmCount,
  type OneArmFit,
  type OneArmOptions,
  type OneArmOutcome,
  oneArmMethodNames,
} from './oneArmFit.ts';
import { type OneArmMethod, oneArmMethods, sums } from './oneArmMethods.ts';
import { splitByFollowUp } from './shoulderYears.ts';

/**
 * How often does this happen over these arms, by a method that uses the counts as they are?
 *
 * The methods stand in {@link oneArmMethods}, each with its formula and source. Rates are from 0 to 1, or per
 * 100 shoulder-years for the methods over time, which leave out arms whose follow-up is not reported. Without
 * any event no model has a maximum: the fit says `no-events` and `combinedExact` is the answer.
 *
 * @throws RangeError for an impossible count or follow-up, or an unknown option
 *
 * @example
 * poolOneArm(arms, { method: 'poisson-normal' }).rate; // events per 100 shoulder-years
 */
export function poolOneArm(
  arms: readonly OneArmCount[],
  options: OneArmOptions,
  leftOut: readonly LeftOut[] = [],
): OneArmFit {
  checkOptionNames(options, ['method', 'level', 'quadraturePoints'] satisfies (keyof OneArmOptions)[]);
  const name = checkChoice('method', options.method, oneArmMethodNames);
  const method = oneArmMethods[name];
  const level = checkLevel(options.level ?? 0.95);
  const points = checkPoints(options.quadraturePoints, method, name);
  checkCounts(arms);
  const split = method.needsFollowUp
    ? splitByFollowUp(arms)
    : { timed: arms.map((arm) => ({ arm, shoulderYears: 0 })), leftOut: [] };
  const used = split.timed.map(({ arm }) => arm);
  const exposures = split.timed.map(
    ({ arm: { events, total }, shoulderYears }): ArmExposure => ({ events, total, shoulderYears }),
  );
  const { events, total, years } = sums(exposures);
  const studies = new Set(used.map(({ study }) => study)).size;
  // Arms of one study alone cannot tell how studies differ: they are added up.
  const counted = studies === 1 ? [{ events, total, shoulderYears: years }] : exposures;
  const fitted = extremes(method, exposures.length, events, total) ?? method.estimate(counted, level, points);
  const outcome = studies === 1 ? withoutSpread(fitted) : fitted;
  const combinedExact = combined(method, exposures.length, events, total, years, level);
  const allLeftOut = [...leftOut, ...split.leftOut];
  return {
    kind: 'one-arm-fit',
    method: method.name,
    source: method.source,
    options: { method: name, level },
    status: outcome.status,
    reason: outcome.reason,
    mean: outcome.mean,
    standardError: outcome.standardError,
    betweenStudyDeviation: outcome.betweenStudyDeviation,
    overdispersion: outcome.overdispersion,
    logLikelihood: outcome.logLikelihood,
    unit: method.unit,
    rateOf: method.rateOf,
    rate: outcome.rate,
    interval: outcome.interval,
    prediction: outcome.prediction,
    combinedExact,
    quadraturePoints: outcome.quadraturePoints,
    level,
    studies,
    events,
    shoulders: total,
    shoulderYears: method.needsFollowUp ? years : undefined,
    arms: used,
    leftOut: allLeftOut,
    cautions: [...(outcome.cautions ?? []), ...cautionsOf(outcome, studies, used.length, allLeftOut.length)],
    methodsSentence: sentence(method, studies, level, outcome.quadraturePoints, allLeftOut.length),
  };
}

/** One study's fit: a deviation estimated as nought would claim that studies agree. */
function withoutSpread(outcome: OneArmOutcome): OneArmOutcome {
  const { betweenStudyDeviation, overdispersion, ...rest } = outcome;
  if (betweenStudyDeviation === undefined && overdispersion === undefined) return outcome;
  return { ...rest, status: 'one-study', reason: oneStudyOnly };
}

function extremes(
  method: OneArmMethod,
  arms: number,
  events: number,
  total: number,
): OneArmOutcome | undefined {
  if (arms === 0) return { status: 'nothing-to-pool', reason: 'There are no arms to pool.' };
  if (events === 0 && !method.answersWithoutEvents) {
    return {
      status: 'no-events',
      reason: 'No shoulder had an event: the likelihood keeps rising as the rate falls towards 0.',
    };
  }
  if (events === total && !method.answersWithEventsOnly) {
    return {
      status: 'all-events',
      reason: 'Every shoulder had an event: the likelihood keeps rising as the rate nears 1.',
    };
  }
  return undefined;
}

function combined(
  { unit }: OneArmMethod,
  arms: number,
  events: number,
  total: number,
  years: number,
  level: number,
): Interval | undefined {
  if (arms === 0) return undefined;
  return unit === 'proportion'
    ? rateInterval({ events, total }, { method: 'clopper-pearson', level })
    : exactPoissonInterval(events, years / 100, level);
}

function cautionsOf(
  { status, reason }: OneArmOutcome,
  studies: number,
  arms: number,
  leftOut: number,
): Caution[] {
  const cautions: Caution[] = [];
  if (status === 'nothing-to-pool' || status === 'no-events' || status === 'all-events') {
    cautions.push({ code: status, message: reason ?? '' });
  }
  if (status === 'not-converged') cautions.push({ code: 'one-step-not-converged', message: reason ?? '' });
  if (status === 'boundary') cautions.push({ code: 'one-step-at-boundary', message: reason ?? '' });
  if (studies === 1) {
    cautions.push({ code: 'one-study', message: 'Only one study: this is its rate, not a pool.' });
  } else if (studies > 1 && studies < 5) {
    cautions.push({
      code: 'fewer-than-five-studies',
      message: `The variation between studies rests on ${counted(studies, 'study', 'studies')}: it is all but unknown.`,
    });
  }
  if (arms > studies) {
    cautions.push({
      code: 'several-arms-of-one-study',
      message: 'Arms of one study were taken as independent of one another.',
    });
  }
  if (leftOut > 0) {
    cautions.push({
      code: 'arms-left-out',
      message: `${leftOut} ${leftOut === 1 ? 'arm was' : 'arms were'} left out.`,
    });
  }
  return cautions;
}

function checkPoints(asked: number | undefined, method: OneArmMethod, name: string): readonly number[] {
  if (asked === undefined) return method.quadraturePoints;
  if (method.quadraturePoints.length === 0) {
    throw new RangeError(`quadraturePoints of ${name} cannot be given: the method does not integrate`);
  }
  if (!(Number.isInteger(asked) && asked >= 7 && asked <= 100)) {
    throw new RangeError(`quadraturePoints must be a whole number from 7 to 100, received ${show(asked)}`);
  }
  return [asked];
}

const rateNames: Readonly<Record<OneArmFit['rateOf'], string>> = {
  'median-study': 'the rate of the median study',
  'mean-study': 'the mean rate over studies',
  'one-series': 'the rate of all arms taken as one series',
};

function sentence(
  { name, source, rateOf, unit, needsFollowUp }: OneArmMethod,
  studies: number,
  level: number,
  points: number | undefined,
  leftOut: number,
): string {
  const what = `${rateNames[rateOf]}${unit === 'proportion' ? '' : ' per 100 shoulder-years'}`;
  const parts = [
    `Over ${studies} ${studies === 1 ? 'study' : 'studies'} ${what} was estimated (${name}; ${source}) with a ${Number((level * 100).toPrecision(6))} % interval`,
  ];
  if (points !== undefined) parts.push(`${points} quadrature points`);
  if (needsFollowUp) parts.push('shoulder-years are shoulders times mean follow-up');
  parts.push('nothing was added to any count');
  if (leftOut > 0) parts.push(`${leftOut} ${leftOut === 1 ? 'arm' : 'arms'} left out`);
  return `${parts.join('; ')}.`;
}
