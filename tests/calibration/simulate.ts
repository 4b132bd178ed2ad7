// One simulated review after another: counts drawn, every method asked, what it said counted.
import {
  betaCumulative,
  betaQuantile,
  normalCumulative,
  normalQuantile,
} from '../../src/numerics/distributions.ts';
import { seededUniform } from '../../src/numerics/seededUniform.ts';
import {
  comparisonContext,
  comparisonMethodNames,
  comparisonMethods,
} from '../../src/pooling/quoted/comparisonMethods.ts';
import { meanOfStudies } from '../../src/pooling/quoted/meanOfStudies.ts';
import { quotedComparison } from '../../src/pooling/quoted/quotedComparison.ts';
import { type QuotedArm, quotedRate } from '../../src/pooling/quoted/quotedRate.ts';
import { rateContext } from '../../src/pooling/quoted/rateContext.ts';
import { type QuotedEstimand, rateMethodNames, rateMethods } from '../../src/pooling/quoted/rateMethods.ts';
import type { TwoArmTable } from '../../src/pooling/rareEvents/twoArmTable.ts';
import type { ComparisonPoint, RatePoint } from './designs.ts';
import { count, emptyTally, type Tally } from './tally.ts';

/** What was counted at one point, by method. */
export type PointTallies = Map<string, Tally>;

const level = 0.95;
/** The slow posteriors are asked in every so many reviews, of the first so many. */
const everyPosterior = 5;
const lastPosterior = 2500;

/** Random numbers of one review, the same wherever and in whatever order it is simulated. */
function uniformOf(seed: number, review: number): () => number {
  // Neighbouring seeds give neighbouring states: they are mixed first (Murmur3's finaliser), and the start is passed over.
  let h = Math.imul(seed, 0x9e3779b1) ^ review;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  const next = seededUniform((h ^ (h >>> 16)) | 0);
  for (let i = 0; i < 20; i++) next();
  return next;
}

const rateOf = (logOdds: number): number => 1 / (1 + Math.exp(-logOdds));

/** Binomial draw by inversion, from the rarer of the two outcomes. */
function binomial(uniform: () => number, total: number, rate: number): number {
  if (rate > 0.5) return total - binomial(uniform, total, 1 - rate);
  let term = (1 - rate) ** total;
  let sum = term;
  let events = 0;
  const at = uniform();
  while (at > sum && events < total) {
    term *= ((total - events) / (events + 1)) * (rate / (1 - rate));
    events += 1;
    sum += term;
  }
  return events;
}

/** A true rate, and what each estimand amounts to in the population of studies. */
interface Population {
  readonly draw: (uniform: () => number) => number;
  readonly truth: (estimand: QuotedEstimand, scale: 'arcsine' | 'logit') => number;
  readonly between: (lower: number, upper: number) => number;
}

export function populationOf({ rate, spread }: RatePoint): Population {
  // Averages over studies by 4,000 of their quantiles.
  const averaged = (quantile: (p: number) => number, f: (p: number) => number): number => {
    let sum = 0;
    for (let i = 0; i < 4000; i++) sum += f(quantile((i + 0.5) / 4000));
    return sum / 4000;
  };
  const angle = (p: number): number => Math.asin(Math.sqrt(p));
  if (spread.kind === 'normal-on-logit') {
    const centre = Math.log(rate / (1 - rate));
    const { deviation } = spread;
    const mean = meanOfStudies(centre, deviation).rate;
    const arcsine = Math.sin(averaged((p) => rateOf(centre + deviation * normalQuantile(p)), angle)) ** 2;
    const share = (limit: number): number =>
      limit <= 0
        ? 0
        : limit >= 1
          ? 1
          : deviation === 0
            ? Number(limit >= rate)
            : normalCumulative((Math.log(limit / (1 - limit)) - centre) / deviation);
    return {
      draw: (uniform) => rateOf(centre + deviation * normalQuantile(uniform())),
      truth: (estimand, scale) =>
        estimand === 'median study'
          ? rate
          : estimand === 'centre on the scale'
            ? scale === 'logit'
              ? rate
              : arcsine
            : mean,
      between: (lower, upper) => share(upper) - (deviation === 0 && lower <= rate ? 0 : share(lower)),
    };
  }
  const a = (rate * (1 - spread.correlation)) / spread.correlation;
  const b = ((1 - rate) * (1 - spread.correlation)) / spread.correlation;
  const quantile = (p: number): number => betaQuantile(p, a, b);
  const median = quantile(0.5);
  const arcsine = Math.sin(averaged(quantile, angle)) ** 2;
  const logit = rateOf(averaged(quantile, (p) => Math.log(p / (1 - p))));
  return {
    draw: (uniform) => quantile(uniform()),
    truth: (estimand, scale) =>
      estimand === 'median study'
        ? median
        : estimand === 'centre on the scale'
          ? scale === 'logit'
            ? logit
            : arcsine
          : rate,
    between: (lower, upper) => betaCumulative(upper, a, b) - betaCumulative(lower, a, b),
  };
}

const tallyOf = (tallies: PointTallies, method: string): Tally => {
  let tally = tallies.get(method);
  if (!tally) {
    tally = emptyTally();
    tallies.set(method, tally);
  }
  return tally;
};

function drawArms(point: RatePoint, population: Population, review: number): QuotedArm[] {
  const uniform = uniformOf(point.seed, review);
  return point.arms.map((total, i) => ({
    study: `s${i}`,
    label: `Study ${i}`,
    events: binomial(uniform, total, population.draw(uniform)),
    total,
  }));
}

/** Every candidate on reviews `from` to `to` of a point. Reviews without events, or with nothing else, have no pool. */
export function simulateRates(point: RatePoint, from: number, to: number): PointTallies {
  const population = populationOf(point);
  const tallies: PointTallies = new Map();
  for (let review = from; review < to; review++) {
    const arms = drawArms(point, population, review);
    const events = arms.reduce((sum, arm) => sum + arm.events, 0);
    const total = arms.reduce((sum, arm) => sum + arm.total, 0);
    if (events === 0 || events === total) {
      tallyOf(tallies, 'no pool').reviews += 1;
      continue;
    }
    const context = rateContext(arms);
    for (const name of rateMethodNames) {
      if (name.includes('posterior') && (review % everyPosterior !== 0 || review >= lastPosterior)) continue;
      const { estimand, estimate } = rateMethods[name];
      const truth = population.truth(estimand, name.includes('arcsine') ? 'arcsine' : 'logit');
      const answer = estimate(context, level);
      count(tallyOf(tallies, name), truth, answer?.rate, answer?.interval, true);
    }
  }
  return tallies;
}

/** The whole rule, choice included, on reviews `from` to `to` of a point. */
export function simulateQuotedRates(point: RatePoint, from: number, to: number): PointTallies {
  const population = populationOf(point);
  const tallies: PointTallies = new Map();
  for (let review = from; review < to; review++) {
    const quoted = quotedRate(drawArms(point, population, review));
    const truth = population.truth(quoted.estimand, quoted.method.includes('arcsine') ? 'arcsine' : 'logit');
    for (const tally of [tallyOf(tallies, 'the rule'), tallyOf(tallies, `quoted: ${quoted.method}`)]) {
      count(tally, truth, quoted.rate, quoted.interval, true);
      if (quoted.prediction) {
        const held = population.between(quoted.prediction.lower, quoted.prediction.upper);
        tally.predicted += Math.round(1e6 * held);
        tally.predictions += 1;
      }
    }
    for (const other of quoted.others) {
      if (!other.method.startsWith('dersimonian-laird')) continue;
      const aim = population.truth(other.estimand, other.method.includes('arcsine') ? 'arcsine' : 'logit');
      count(tallyOf(tallies, `beside: ${other.method}`), aim, other.rate, other.interval, true);
    }
  }
  return tallies;
}

function drawTables(point: ComparisonPoint, review: number): TwoArmTable[] {
  const uniform = uniformOf(point.seed, review);
  const centre = Math.log(point.baseline / (1 - point.baseline));
  return point.studies.map(([treated, comparator], i) => {
    const baseline =
      centre +
      point.baselineDeviation * normalQuantile(uniform()) +
      point.risesWithAllocation * Math.log(treated / comparator);
    const effect = Math.log(point.oddsRatio) + point.deviation * normalQuantile(uniform());
    return {
      study: `s${i}`,
      label: `Study ${i}`,
      rows: [],
      treated: { events: binomial(uniform, treated, rateOf(baseline + effect)), total: treated },
      comparator: { events: binomial(uniform, comparator, rateOf(baseline)), total: comparator },
    };
  });
}

/**
 * Every candidate for odds ratios. A common-effect method aims at an effect that studies share: where they differ it has
 * no truth to hold, and is not counted.
 */
export function simulateComparisons(point: ComparisonPoint, from: number, to: number): PointTallies {
  const tallies: PointTallies = new Map();
  const truth = Math.log(point.oddsRatio);
  for (let review = from; review < to; review++) {
    const context = comparisonContext(drawTables(point, review));
    for (const name of comparisonMethodNames) {
      const { estimand, estimate, measure } = comparisonMethods[name];
      if (measure !== 'odds-ratio' || (estimand === 'common effect' && point.deviation > 0)) continue;
      const answer = estimate(context, level);
      count(tallyOf(tallies, name), truth, answer?.value, answer?.interval, false);
    }
  }
  return tallies;
}

/** The whole rule for odds ratios, choice included. */
export function simulateQuotedComparisons(point: ComparisonPoint, from: number, to: number): PointTallies {
  const tallies: PointTallies = new Map();
  const truth = Math.log(point.oddsRatio);
  for (let review = from; review < to; review++) {
    const { method, effect, interval, prediction, estimand } = quotedComparison(drawTables(point, review));
    const on = (limits: { readonly lower: number; readonly upper: number } | undefined) =>
      limits && { lower: Math.log(limits.lower), upper: Math.log(limits.upper) };
    for (const tally of [tallyOf(tallies, 'the rule'), tallyOf(tallies, `quoted: ${method}`)]) {
      if (estimand === 'common effect' && point.deviation > 0) {
        tally.reviews += 1;
        tally.withoutInterval += 1;
        continue;
      }
      count(tally, truth, effect === undefined ? undefined : Math.log(effect), on(interval), false);
      if (prediction) {
        const { lower, upper } = on(prediction)!;
        const held =
          point.deviation === 0
            ? Number(lower <= truth && truth <= upper)
            : normalCumulative((upper - truth) / point.deviation) -
              normalCumulative((lower - truth) / point.deviation);
        tally.predicted += Math.round(1e6 * held);
        tally.predictions += 1;
      }
    }
  }
  return tallies;
}
