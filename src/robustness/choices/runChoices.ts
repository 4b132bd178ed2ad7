import type { Count } from '../../effects/estimate.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { armKey } from '../../extraction/armKey.ts';
import { classifySite } from '../../extraction/classifySite.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { type ClassifiedSite, type PooledSite, pooledSites } from '../../extraction/site.ts';
import { checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import type { ChoiceGrid } from './choiceGrid.ts';
import { type ChoiceOverrides, declareChoices } from './declareChoices.ts';
import { type BareRate, type FastRatePool, fastRatePool } from './fastRatePool.ts';
import { lowQualityStudies } from './lowQualityStudies.ts';
import { type NamedDimension, nameChoices } from './nameChoices.ts';
import { rateDifference } from './rateDifference.ts';
import { waysToPool } from './waysToPool.ts';

/** Whose rate is asked for, and, if any, the site it is set beside. */
export interface ChoiceTarget {
  readonly site: PooledSite;
  /** The answer is then the rate at `site` minus the rate here. */
  readonly minus?: PooledSite;
}

export interface ChoiceOptions {
  /** Options in place of the usual ones, by dimension; see {@link declareChoices}. */
  readonly grid?: ChoiceOverrides;
  /** Coverage of every interval; default the protocol's. */
  readonly level?: number;
}

/** One analysis of the grid. */
export interface ChoiceAnalysis {
  /** For each dimension, which of its options was taken; all 0 is the protocol's own analysis. */
  readonly choices: readonly number[];
  /** The rate (or difference), 0 to 1; undefined where nothing could be pooled. */
  readonly value: number | undefined;
  readonly lower: number | undefined;
  readonly upper: number | undefined;
  /** Arms and shoulders behind it, at both sites together. */
  readonly arms: number;
  readonly shoulders: number;
  readonly events: number;
}

/** Every defensible analysis of one question, run. */
export interface ChoicesRun {
  readonly kind: 'choices-run';
  readonly outcome: EventsOutcome;
  readonly target: ChoiceTarget;
  readonly level: number;
  readonly grid: ChoiceGrid;
  readonly dimensions: readonly NamedDimension[];
  /** In the order of the grid; the first is the protocol's own. */
  readonly analyses: readonly ChoiceAnalysis[];
  /** Combinations of the full grid that were not run, and why. */
  readonly notRun: readonly { readonly reason: string; readonly combinations: number }[];
  /** For each analysis, which of the different sets of arms it used, counted from 0. */
  readonly selectionOf: Uint32Array;
  /** How many different sets of arms the selections gave. */
  readonly distinctSelections: number;
}

/**
 * What is the answer under every analysis a careful reader could defend?
 *
 * The whole grid is run, nothing sampled: each selection of arms by {@link selectEvents}, each pooled as `poolRates`
 * does. Combinations that cannot be told apart are run once: the arcsine scales have a value for an arm without events,
 * so what is done with such arms has no effect there. A difference between two sites has the limits of Newcombe's
 * square-and-add method, from the two intervals; it is not a randomised comparison, whatever the choices.
 *
 * @throws RangeError for an unknown site, outcome, dimension or option
 *
 * Source: Steegen S et al., Perspect Psychol Sci 2016;11:702-712 (running all reasonable analyses); Simonsohn U et al.,
 * Nat Hum Behav 2020;4:1208-1214 (drawing them as one curve).
 *
 * @example
 * runChoices(review, 'groove-pain', { site: 'subpectoral', minus: 'tenotomy' }).analyses.length
 */
export function runChoices(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events' | 'judgements'>,
  outcomeId: string,
  target: ChoiceTarget,
  options: ChoiceOptions = {},
): ChoicesRun {
  checkOptionNames(options, ['grid', 'level']);
  checkOptionNames(target, ['site', 'minus']);
  for (const site of [target.site, ...(target.minus === undefined ? [] : [target.minus])]) {
    if (!pooledSites.includes(site))
      throw new RangeError(`site must be one of ${pooledSites.join(', ')}, received "${site}"`);
  }
  if (target.minus === target.site) throw new RangeError(`minus must be another site than "${target.site}"`);
  const level = checkLevel(options.level ?? review.protocol.analysis.level);
  const grid = declareChoices(review, outcomeId, options.grid);
  const { ways, notRun } = waysToPool(grid);
  const pools = new Map<string, FastRatePool>();
  // Many selections end in the same arms: every way to pool those is worked out once.
  const answers = new Map<string, { readonly block: readonly Answer[]; readonly set: number }>();
  const sets: number[] = [];
  const analyses: ChoiceAnalysis[] = [];
  let selected = 0;
  for (const selection of selections(review, outcomeId, grid)) {
    const poolAt = (site: PooledSite): readonly [key: string, pool: FastRatePool, arms: number] => {
      const counts = selection.at(site);
      const key = counts.map(({ events, total }) => `${events}/${total}`).join(' ');
      let pool = pools.get(key);
      if (pool === undefined) {
        pool = fastRatePool(counts, level);
        pools.set(key, pool);
      }
      return [key, pool, counts.length];
    };
    const [key, pool, arms] = poolAt(target.site);
    const [otherKey, other, otherArms] =
      target.minus === undefined ? ['', undefined, 0] : poolAt(target.minus);
    const pair = `${key} | ${otherKey}`;
    let known = answers.get(pair);
    if (known === undefined) {
      const block = ways.map(({ scale, zeroEvents, estimator, interval }): Answer => {
        const rate = pool.rate(scale, zeroEvents, estimator, interval);
        if (other === undefined || rate === undefined) return fromRate(rate);
        const minus = other.rate(scale, zeroEvents, estimator, interval);
        return minus === undefined ? fromRate(undefined) : rateDifference(rate, minus);
      });
      known = { block, set: answers.size };
      answers.set(pair, known);
    }
    const facts = {
      arms: arms + otherArms,
      shoulders: pool.shoulders + (other?.shoulders ?? 0),
      events: pool.events + (other?.events ?? 0),
    };
    for (const [w, way] of ways.entries()) {
      const { value, lower, upper } = known.block[w]!;
      analyses.push({ choices: [...selection.choices, ...way.choices], value, lower, upper, ...facts });
      sets.push(known.set);
    }
    selected += 1;
  }
  const outcome = review.protocol.outcomes.find(({ id }) => id === outcomeId) as EventsOutcome;
  return {
    kind: 'choices-run',
    outcome,
    target,
    level,
    grid,
    dimensions: nameChoices(grid),
    analyses,
    notRun: notRun.map(({ reason, combinations }) => ({ reason, combinations: combinations * selected })),
    selectionOf: Uint32Array.from(sets),
    distinctSelections: answers.size,
  };
}

interface Answer {
  readonly value: number | undefined;
  readonly lower: number | undefined;
  readonly upper: number | undefined;
}

const fromRate = (rate: BareRate | undefined): Answer => ({
  value: rate?.rate,
  lower: rate?.interval.lower,
  upper: rate?.interval.upper,
});

interface Selected {
  readonly choices: readonly [number, number, number, number, number];
  readonly at: (site: PooledSite) => readonly Count[];
}

/** Every selection of arms, in the order of the grid; what two of them share is worked out once. */
function* selections(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events' | 'judgements'>,
  outcomeId: string,
  grid: ChoiceGrid,
): Generator<Selected> {
  const low = lowQualityStudies(review, outcomeId);
  // Only rows of this outcome can be selected, and only the mid-groove rule changes the site of an arm.
  const events = review.events.filter((row) => row.outcome === outcomeId);
  const careful = review.studies.filter(({ study }) => !low.has(study));
  const chosen = new Map<string, readonly ArmEvents[]>();
  const sites = grid.midGroove.map(
    (midGroove) =>
      new Map<string, ClassifiedSite>(
        review.arms.map((arm) => [armKey(arm), classifySite(arm, { midGroove }).site]),
      ),
  );
  for (const m of grid.midGroove.keys()) {
    const siteOf = sites[m]!;
    for (const [d, definition] of grid.definition.entries()) {
      for (const [w, { windowMonths }] of grid.window.entries()) {
        for (const [n, { designs, withoutLowQuality }] of grid.inclusion.entries()) {
          for (const [o, overlapRule] of grid.overlap.entries()) {
            const key = `${d} ${w} ${n} ${o}`;
            let arms = chosen.get(key);
            if (arms === undefined) {
              arms = selectEvents(
                { ...review, events, studies: withoutLowQuality ? careful : review.studies },
                outcomeId,
                {
                  definitions: definition.definitions,
                  assessors: definition.assessors,
                  windowMonths,
                  designs,
                  overlapRule,
                },
              ).arms;
              chosen.set(key, arms);
            }
            const selected = arms;
            yield {
              choices: [m, d, w, n, o],
              at: (site) => selected.filter((arm) => siteOf.get(armKey(arm)) === site),
            };
          }
        }
      }
    }
  }
}
