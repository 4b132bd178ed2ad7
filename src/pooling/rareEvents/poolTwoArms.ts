import type { LeftOut } from '../../effects/estimate.ts';
import type { Interval } from '../../numerics/interval.ts';
import { counted } from '../../wording/words.ts';
import type { Caution } from '../caution.ts';
import { resolveTwoArmOptions } from './resolveTwoArmOptions.ts';
import { type TwoArmMethod, twoArmMethods } from './twoArmMethods.ts';
import type { ResolvedTwoArmOptions, TwoArmMeasure, TwoArmOptions } from './twoArmOptions.ts';
import type { DoubleZeroReport, TwoArmOutcome, TwoArmPool } from './twoArmPool.ts';
import { checkTwoArmTables, isAllEvents, isDoubleZero, type TwoArmTable } from './twoArmTable.ts';
import { zeroCellsInWords } from './zeroCells.ts';

/**
 * How do two treatments compare over several studies, by a method that holds up when events are rare?
 *
 * The methods stand in {@link twoArmMethods}, each with its formula and source. Ratios are pooled as natural
 * logarithms and given back as ratios; differences as they are. Studies without a single event stay in the
 * result with what the method did with them.
 *
 * @param tables events and totals of both arms, study by study
 * @param options `method` and its choices; see {@link TwoArmOptions}
 * @param leftOut studies already left out upstream, carried into the result so that they stay visible
 * @throws RangeError for impossible counts, an unknown option, or a choice the method does not allow
 *
 * @example
 * poolTwoArms(tables, { method: 'mantel-haenszel', measure: 'risk-difference' }).natural;
 * // { value: -0.021, interval: { lower: -0.055, upper: 0.013, level: 0.95 } }
 */
export function poolTwoArms(
  tables: readonly TwoArmTable[],
  options: TwoArmOptions,
  leftOut: readonly LeftOut[] = [],
): TwoArmPool {
  const resolved = resolveTwoArmOptions(options);
  checkTwoArmTables(tables);
  const method = twoArmMethods[resolved.method];
  const doubleZero = doubleZeroReports(tables, method, resolved);
  const silent = new Set(doubleZero.filter((report) => !report.carriesInformation).map(({ table }) => table));
  const used = tables.filter((table) => !silent.has(table));
  const studies = new Set(used.map(({ study }) => study)).size;
  const fitted = extremes(tables, resolved.measure) ?? method.estimate(tables, resolved);
  const outcome = studies === 1 ? withoutSpread(fitted) : fitted;
  const { value, interval, oneSidedLimit } = outcome;
  const natural = naturalOf(resolved.measure, value, interval);
  const cautions: Caution[] = [
    ...(outcome.cautions ?? []),
    ...cautionsOf(outcome, resolved, studies, leftOut.length, interval !== undefined && !natural?.interval),
  ];
  const answered = value !== undefined;
  const naturalLimit = oneSidedLimit && backTransform(resolved.measure, oneSidedLimit.value);
  return {
    kind: 'two-arm-pool',
    method: method.name,
    source: method.source,
    measure: resolved.measure,
    options: resolved,
    status: outcome.status,
    reason: outcome.reason,
    value,
    standardError: answered ? outcome.standardError : undefined,
    interval,
    natural,
    oneSidedLimit:
      oneSidedLimit && naturalLimit !== undefined ? { ...oneSidedLimit, natural: naturalLimit } : undefined,
    pValue: outcome.pValue,
    betweenStudyDeviation: outcome.betweenStudyDeviation,
    overdispersion: outcome.overdispersion,
    logLikelihood: outcome.logLikelihood,
    quadraturePoints: outcome.quadraturePoints,
    heterogeneity: outcome.heterogeneity,
    studies: answered ? studies : 0,
    tables,
    doubleZero: doubleZero.map(({ table: _table, ...report }) => report),
    leftOut,
    twoStep: outcome.twoStep,
    cautions,
    methodsSentence: sentence(method, resolved, outcome.quadraturePoints, tables.length, doubleZero),
  };
}

/** One study's result: a deviation estimated as nought would claim that studies agree. */
function withoutSpread(outcome: TwoArmOutcome): TwoArmOutcome {
  const { betweenStudyDeviation, overdispersion, ...rest } = outcome;
  if (betweenStudyDeviation === undefined && overdispersion === undefined) return outcome;
  return {
    ...rest,
    status: 'one-study',
    reason: 'only one study speaks to the comparison, so that how much studies differ cannot be known',
  };
}

/** What no method can answer: nothing there, or nothing but one kind of outcome in both arms. */
function extremes(tables: readonly TwoArmTable[], measure: TwoArmMeasure): TwoArmOutcome | undefined {
  if (tables.length === 0) return { status: 'nothing-to-pool', reason: 'there are no studies' };
  if (measure === 'arcsine-difference') return undefined;
  if (tables.every(isDoubleZero)) {
    return {
      status: 'no-events',
      reason: 'no shoulder of any arm had an event: the arms cannot be told apart',
    };
  }
  if (tables.every(isAllEvents)) {
    return {
      status: 'all-events',
      reason: 'every shoulder of every arm had an event: the arms cannot be told apart',
    };
  }
  return undefined;
}

function doubleZeroReports(
  tables: readonly TwoArmTable[],
  method: TwoArmMethod,
  options: ResolvedTwoArmOptions,
): (DoubleZeroReport & { readonly table: TwoArmTable })[] {
  return tables.flatMap((table) => {
    const cells = isDoubleZero(table) ? 'no-events' : isAllEvents(table) ? 'all-events' : undefined;
    if (!cells) return [];
    const rule = (cells === 'no-events' ? method.noEvents : method.allEvents)(options);
    return [{ study: table.study, label: table.label, cells, ...rule, table }];
  });
}

const isRatio = (measure: TwoArmMeasure): boolean => measure === 'odds-ratio' || measure === 'risk-ratio';

function backTransform(measure: TwoArmMeasure, value: number): number | undefined {
  const natural = isRatio(measure) ? Math.exp(value) : value;
  return Number.isFinite(natural) ? natural : undefined;
}

function naturalOf(
  measure: TwoArmMeasure,
  value: number | undefined,
  interval: Interval | undefined,
): TwoArmPool['natural'] {
  if (value === undefined || measure === 'arcsine-difference') return undefined;
  const natural = backTransform(measure, value);
  if (natural === undefined) return undefined;
  const lower = interval && backTransform(measure, interval.lower);
  const upper = interval && backTransform(measure, interval.upper);
  return {
    value: natural,
    interval:
      interval && lower !== undefined && upper !== undefined
        ? { lower, upper, level: interval.level }
        : undefined,
  };
}

function cautionsOf(
  { status, reason }: TwoArmOutcome,
  { zeroCells, measure, model }: ResolvedTwoArmOptions,
  studies: number,
  leftOut: number,
  limitLost: boolean,
): Caution[] {
  const cautions: Caution[] = [];
  const add = (code: Caution['code'], message: string): void => {
    cautions.push({ code, message });
  };
  const because = reason ? `${reason[0]!.toUpperCase()}${reason.slice(1)}.` : '';
  if (status === 'nothing-to-pool') add('nothing-to-pool', because);
  if (status === 'no-events') add('no-events', because);
  if (status === 'all-events') add('all-events', because);
  if (status === 'no-finite-estimate') add('no-finite-estimate', because);
  if (status === 'not-converged') add('one-step-not-converged', because);
  if (status === 'boundary') add('one-step-at-boundary', because);
  if (measure === 'arcsine-difference') return cautions;
  if (studies === 1)
    add('one-study', 'Only one study speaks to the comparison: this is its result, not a pool.');
  if (model === 'random-effects' && studies > 1 && studies < 5) {
    add(
      'fewer-than-five-studies',
      `The variation between studies rests on ${counted(studies, 'study', 'studies')}: it is all but unknown, and the interval is likely to be too short.`,
    );
  }
  if (zeroCells !== 'none') add('correction-added', `Before pooling ${zeroCellsInWords(zeroCells)}.`);
  if (leftOut > 0)
    add('arms-left-out', `${leftOut} ${leftOut === 1 ? 'study was' : 'studies were'} left out.`);
  if (limitLost) {
    add('limit-not-reached', 'A limit is too large to be written as a ratio: in practice there is none.');
  }
  return cautions;
}

const measureNames: Readonly<Record<TwoArmMeasure, string>> = {
  'odds-ratio': 'odds ratio',
  'risk-ratio': 'risk ratio',
  'risk-difference': 'risk difference',
  'arcsine-difference': 'difference of arcsine-transformed risks',
};
const intervalNames = {
  wald: 'normal',
  'profile-likelihood': 'profile-likelihood',
  exact: 'exact (each tail half)',
} as const;
const varianceNames = {
  sato: "Sato's variance",
  'greenland-robins': 'the Greenland-Robins variance',
} as const;

function sentence(
  { name, source }: TwoArmMethod,
  options: ResolvedTwoArmOptions,
  points: number | undefined,
  studies: number,
  doubleZero: readonly DoubleZeroReport[],
): string {
  const parts = [
    `The ${measureNames[options.measure]} was pooled over ${studies} ${studies === 1 ? 'study' : 'studies'} by the ${name} method (${source}; ${options.model === 'common-effect' ? 'common effect' : 'random effects'})`,
    `with ${options.variance ? `${varianceNames[options.variance]} and ` : ''}a ${intervalNames[options.interval]} ${Number((options.level * 100).toPrecision(6))} % interval`,
  ];
  if (points !== undefined) parts.push(`${points} quadrature points`);
  parts.push(zeroCellsInWords(options.zeroCells));
  if (doubleZero.length > 0) {
    const silent = doubleZero.filter((report) => !report.carriesInformation).length;
    parts.push(
      `${doubleZero.length} ${doubleZero.length === 1 ? 'study' : 'studies'} without events, or with events only, ${silent === 0 ? 'counted' : silent === doubleZero.length ? 'added nothing' : `counted in part (${silent} added nothing)`}`,
    );
  }
  return `${parts.join('; ')}.`;
}
