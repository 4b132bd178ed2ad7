import type { ArmEvents } from '../extraction/armEvents.ts';
import { rateDigits } from '../wording/numbers.ts';
import { countsOf } from './armsInNumber.ts';
import type { SitePools } from './poolBySite.ts';
import type { PooledRate } from './pooledRate.ts';
import type { QuotedFix, QuotedRateOptions } from './quoted/quotedOptions.ts';
import { type QuotedRate, quotedRates } from './quoted/quotedRate.ts';
import { derSimonianLairdIntervals, derSimonianLairdScales } from './quoted/rateMethods.ts';
import type { RatePoolOptions } from './ratePoolOptions.ts';

/** What may be asked of the quoted number: the rule, the protocol's own pool, or the pool as somebody chose it. */
export type QuotePolicy = QuotedFix | 'as-pooled';

/**
 * The rates at each site with the number that is quoted for them, one method for all sites of the outcome.
 *
 * By the rule of {@link quotedRates} the headline of each pool becomes the quoted rate, which rests on all arms with a
 * count; the two-step pool stays in `twoStep`, and in `quoted.others` where DerSimonian-Laird was computed. Where the
 * protocol fixes DerSimonian-Laird, or somebody chose a pool of his own, the headline stays that of the pool.
 *
 * @param policy default `by-rule`
 * @throws RangeError as {@link quotedRates}
 * @see docs/methods-rare-events.md
 * @example
 * quoteSites(poolBySite(arms), {}).sites[0]?.pool.headline?.basis // 'one-step'
 */
export function quoteSites(
  pools: SitePools,
  options: Omit<RatePoolOptions, 'leftOut'>,
  policy: QuotePolicy = 'by-rule',
): SitePools {
  if (policy === 'as-pooled') return pools;
  const quoted = quotedRates(
    new Map<string, readonly ArmEvents[]>(pools.sites.map(({ site, pool }) => [site, pool.arms])),
    quotedOptions(options, policy),
  );
  return {
    ...pools,
    sites: pools.sites.map((each) => ({ ...each, pool: quotePool(each.pool, quoted.sites.get(each.site)!) })),
  };
}

/** The DerSimonian-Laird pool beside the quoted number is the protocol's, as far as it is one. */
function quotedOptions(
  { level, scale, zeroEvents, interval }: RatePoolOptions,
  fixed: QuotedFix,
): QuotedRateOptions {
  const known = <Value extends string>(
    values: readonly Value[],
    value: string | undefined,
  ): Value | undefined => values.find((each) => each === value);
  const own = {
    scale: known(derSimonianLairdScales, scale),
    interval: known(derSimonianLairdIntervals, interval),
  };
  return {
    fixed,
    ...(level === undefined ? {} : { level }),
    derSimonianLaird: {
      ...(own.scale === undefined ? {} : { scale: own.scale }),
      ...(own.interval === undefined ? {} : { interval: own.interval }),
      ...(zeroEvents === undefined ? {} : { zeroEvents }),
    },
  };
}

function quotePool(pool: PooledRate, quoted: QuotedRate): PooledRate {
  const { rate, interval } = quoted;
  if (pool.arms.length === 0 || rate === undefined || interval === undefined || quoted.because === 'fixed')
    return { ...pool, quoted };
  const none = quoted.because === 'no-events' || quoted.because === 'only-events';
  return {
    ...pool,
    quoted,
    ...countsOf(pool.arms),
    armsInNumber: pool.arms,
    armsNotInNumber: [],
    headline: {
      basis: none ? 'exact' : quoted.estimand === 'centre on the scale' ? 'two-step' : 'one-step',
      rate,
      interval,
      prediction: quoted.prediction,
    },
    // What was said of the two-step pool alone is no caution about a number that does not come from it.
    cautions: [
      ...quoted.cautions,
      ...pool.cautions.filter(({ code }) => !ofTheTwoStepPool.includes(code)),
      ...toldDifferently(quoted),
    ],
    methodsSentence: `${quoted.methodsSentence} Beside it: ${pool.methodsSentence.replace(/^The /, 'the ')}`,
  };
}

const ofTheTwoStepPool: readonly string[] = [
  'arms-left-out',
  'correction-added',
  'one-step-differs',
  'nothing-to-pool',
  'one-study-dominates',
  'double-arcsine-back-transformation',
  'hartung-knapp-narrower-than-wald',
  'interval-method-replaced',
  'limit-not-reached',
  'interval-choice',
  'fewer-than-three-studies',
  'fewer-than-five-studies',
  'one-study',
  'no-events',
  'all-events',
];

/** DerSimonian-Laird among the other answers, where it was computed: always shown. */
export const derSimonianLairdBeside = ({ quoted }: PooledRate) =>
  quoted?.others.find(({ method }) => method.startsWith('dersimonian-laird'));

function toldDifferently(quoted: QuotedRate) {
  const apart = quoted.others.filter(
    ({ toldDifferently: told, method }) => told && method.startsWith('dersimonian-laird'),
  );
  return apart.length === 0
    ? []
    : [
        {
          code: 'methods-differ' as const,
          message: `${apart[0]!.methodName} gives another number, ${rateInWords(apart[0]!.rate)}. ${quoted.why}`,
        },
      ];
}

const rateInWords = (rate: number | undefined): string =>
  rate === undefined ? 'none' : `${rateDigits(100 * rate)} in 100`;
