import type { LeftOut } from '../effects/estimate.ts';
import { rateInterval } from '../effects/rateInterval.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import { type PooledSite, siteNames } from '../extraction/site.ts';
import type { Interval } from '../numerics/interval.ts';
import { countsBeside, notInNumberSentence } from '../pooling/armsInNumber.ts';
import { armWeights } from '../pooling/armWeights.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { derSimonianLairdBeside } from '../pooling/quoteSites.ts';
import { describeRates } from './describeRates.ts';
import type { ForestGroup, ForestModel, ForestRow, ForestSort } from './forestModel.ts';
import { countOf, levelText, percentDecimals, percentNumber } from './formatNumber.ts';
import { heterogeneitySentence } from './heterogeneitySentence.ts';
import { palette, siteColours } from './palette.ts';
import { percentAxis, type RateSpacing } from './percentAxis.ts';
import { besideTold, toldAs, toldKey } from './quotedWords.ts';

export interface RatesForestOptions {
  readonly sort: ForestSort;
  readonly spacing: RateSpacing;
  readonly unit: string;
}

/** Cautions that change how a pooled row is read; the rest belongs in the text around the picture. */
const spokenCautions: readonly string[] = [
  'prior-decides-spread',
  'one-step-differs',
  'one-study-dominates',
  'correction-added',
  'limit-not-reached',
];

const sorted = (arms: readonly ArmEvents[], sort: ForestSort): readonly ArmEvents[] => {
  const byName = (a: ArmEvents, b: ArmEvents) => (a.label < b.label ? -1 : a.label > b.label ? 1 : 0);
  if (sort === 'given') return arms;
  return [...arms].sort((a, b) => {
    if (sort === 'year') return a.year - b.year || byName(a, b);
    if (sort === 'size') return b.total - a.total || byName(a, b);
    return a.events / a.total - b.events / b.total || b.total - a.total || byName(a, b);
  });
};

function armRows(
  arms: readonly ArmEvents[],
  rate: PooledRate | undefined,
  level: number,
): readonly ForestRow[] {
  const key = ({ study, arm }: ArmEvents) => JSON.stringify([study, arm]);
  const shares = rate === undefined ? [] : armWeights(rate);
  const weights = new Map(rate?.arms.map((arm, at) => [key(arm), shares[at]]));
  const shared = new Set(
    arms.filter(({ label }, index) => arms.some((other, at) => at !== index && other.label === label)),
  );
  return arms.map((arm) => ({
    label: `${arm.label}${shared.has(arm) ? ` (${arm.arm})` : ''}`,
    counts: [{ events: arm.events, total: arm.total }],
    estimate: arm.events / arm.total,
    interval: rateInterval({ events: arm.events, total: arm.total }, { method: 'wilson', level }),
    weight: weights.get(key(arm)),
  }));
}

function siteGroup(
  site: PooledSite | undefined,
  rate: PooledRate,
  answer: string | undefined,
  options: RatesForestOptions,
): ForestGroup {
  const { headline, twoStep } = rate;
  const level = twoStep.options.level;
  const arms = rate.arms.filter(({ total }) => total > 0);
  const exact = headline?.basis === 'exact';
  const counts = countsBeside(rate);
  const outside = notInNumberSentence(rate.armsNotInNumber.map(({ arm }) => arm));
  const beside = besideTold(rate);
  const limit =
    rate.combinedExact === undefined || headline === undefined || rate.quoted !== undefined
      ? []
      : [
          `${rate.events === 0 ? 'No events' : 'Events'} in ${rate.events === 0 ? '' : 'all '}${countOf(rate.shoulders, options.unit)}: the bar is the exact ${levelText(rate.combinedExact.level)} interval over all of them together.`,
        ];
  return {
    site,
    heading: site === undefined ? undefined : siteNames[site],
    detail:
      arms.length === 0
        ? undefined
        : `${countOf(headline === undefined ? arms.length : rate.armsInNumber.length, 'arm')} of ${countOf(counts.studies, 'study', 'studies')}, ${countOf(counts.shoulders, options.unit)}`,
    colour: site === undefined ? palette.comparison : siteColours[site],
    rows: armRows(sorted(arms, options.sort), rate, level),
    pooled:
      headline === undefined
        ? undefined
        : {
            ...toldAs(rate),
            counts: [{ events: rate.events, total: rate.shoulders }],
            estimate: headline.rate,
            interval: headline.interval,
            answer,
          },
    prediction: headline?.prediction,
    beside,
    sentences: [
      ...(rate.quoted === undefined || arms.length === 0 ? [] : [rate.quoted.why]),
      ...(arms.length === 0
        ? ['No arm at this site reports this outcome: nothing is known here.']
        : headline === undefined
          ? ['No pooled rate: there is nothing to pool.']
          : exact
            ? limit
            : [
                ...(outside === '' ? [] : [outside]),
                heterogeneitySentence(twoStep, rate.quoted !== undefined && headline.basis !== 'two-step'),
              ]),
      ...(rate.quoted === undefined || arms.length === 0 || hasDerSimonianLaird(rate)
        ? []
        : ['DerSimonian-Laird gives no pooled rate here.']),
      ...rate.cautions.filter(({ code }) => spokenCautions.includes(code)).map(({ message }) => message),
    ],
  };
}

const hasDerSimonianLaird = (pool: PooledRate): boolean =>
  pool.quoted?.method.startsWith('dersimonian-laird') === true ||
  derSimonianLairdBeside(pool)?.rate !== undefined;

function leftOutNotes(leftOut: readonly LeftOut[]): readonly string[] {
  const byReason = new Map<string, string[]>();
  for (const { reason: whole, label, count } of leftOut) {
    // The count stands behind each name, so a reason that repeats it can be said once for all.
    const reason = count === undefined ? whole : whole.replace(` in ${count.total},`, ',');
    const names = byReason.get(reason) ?? [];
    names.push(count === undefined ? label : `${label} (${count.events}/${count.total})`);
    byReason.set(reason, names);
  }
  return [...byReason].map(
    ([reason, names]) =>
      `Without weight in the two-step pool (${reason.replace(/\.$/, '')}): ${names.join('; ')}.`,
  );
}

/** Tells what the marks mean, only those that are there. */
function marksKey(groups: readonly ForestGroup[], level: number, told: string): string {
  const rows = groups.flatMap((group) => group.rows);
  const others = [...new Set(groups.flatMap(({ beside }) => beside.map(({ meaning }) => meaning)))];
  const has = (mark: (group: ForestGroup) => unknown): boolean =>
    groups.some((group) => mark(group) !== undefined);
  return [
    rows.some(({ weight }) => weight !== undefined)
      ? `Disc area: share of the weight in the ${told.startsWith('quoted') ? 'quoted rate' : 'pooled rate'}, within its group.`
      : '',
    rows.some(({ weight }) => weight === undefined) ? 'Open ring: no weight in a pool.' : '',
    rows.length > 0 ? `Thin line: ${levelText(level)} Wilson interval of the arm.` : '',
    has(({ pooled }) => pooled) ? `Bar with notch: ${told}.` : '',
    has(({ prediction }) => prediction) ? 'Hatched bracket: range expected in a new study.' : '',
    others.length > 0 ? `Triangle: ${others.join('; ')}.` : '',
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

/** What a forest plot of rates says. */
export function ratesForest(pools: SitePools | PooledRate, options: RatesForestOptions): ForestModel {
  const single = pools.kind === 'pooled-rate';
  const sites = single ? [{ site: undefined, pool: pools, answer: undefined }] : pools.sites;
  const level = sites[0]?.pool.twoStep.options.level ?? 0.95;
  const groups: ForestGroup[] = sites.map(({ site, pool, answer }) => siteGroup(site, pool, answer, options));
  for (const { site, name, arms } of single ? [] : pools.outside)
    groups.push({
      site,
      heading: name,
      detail: `${countOf(arms.length, 'arm')}, outside the four sites and not pooled`,
      colour: siteColours[site],
      rows: armRows(
        sorted(
          arms.filter(({ total }) => total > 0),
          options.sort,
        ),
        undefined,
        level,
      ),
      pooled: undefined,
      prediction: undefined,
      beside: [],
      sentences: [],
    });
  const rows = groups.flatMap((group) => group.rows);
  const firm = groups.flatMap(({ pooled }) => (pooled === undefined ? [] : [pooled.interval]));
  const rates = [...rows.map(({ estimate }) => estimate), ...firm.map(({ upper }) => upper)];
  const predictions = groups.flatMap(({ prediction }) => (prediction === undefined ? [] : [prediction]));
  const intervals = [...rows, ...groups.flatMap(({ beside }) => beside)].flatMap(
    ({ interval }): Interval[] => (interval === undefined ? [] : [interval]),
  );
  const pooledRates = groups.flatMap(({ pooled }) => (pooled === undefined ? [] : [pooled.estimate]));
  const decimals = percentDecimals(Math.max(...(pooledRates.length > 0 ? pooledRates : [0, ...rates])));
  return {
    groups,
    axis: (tickCount) =>
      percentAxis(options.spacing, {
        rates,
        intervals: [...intervals, ...predictions, ...firm],
        title: `${options.unit === 'shoulder' ? 'Shoulders' : `${options.unit}s`} with the event, %`,
        tickCount,
      }),
    reference: undefined,
    directions: undefined,
    countHeadings: [`Events / ${options.unit}s`],
    estimateHeading: 'Rate, %',
    level,
    format: (rate) => percentNumber(rate, decimals),
    between: '\u2013',
    notes: [
      marksKey(groups, level, toldKey(sites)),
      ...(options.spacing === 'logit' && rates.some((rate) => rate === 0 || rate === 1)
        ? ['The axis is even in log odds: rates of 0 and 100\u00a0% are held at its ends.']
        : []),
      ...leftOutNotes(sites.flatMap(({ pool }) => pool.twoStep.leftOut)),
      ...(single ? [] : [pools.notAComparison]),
    ],
    description: describeRates(groups, level, decimals),
    defaultTitle: single ? 'Pooled rate' : 'Rates by fixation site',
  };
}
