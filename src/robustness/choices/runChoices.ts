import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { type PooledSite, pooledSites } from '../../extraction/site.ts';
import { checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import type { ChoiceGrid } from './choiceGrid.ts';
import { type ChoiceOverrides, declareChoices } from './declareChoices.ts';
import { type FastRatePool, fastRatePool } from './fastRatePool.ts';
import { type NamedDimension, nameChoices } from './nameChoices.ts';
import { rateDifference } from './rateDifference.ts';
import { selections } from './selections.ts';
import { type WayToPool, waysToPool } from './waysToPool.ts';

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
  /** Arms, shoulders and events in the number, at both sites together; 0 without one. */
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
 * The whole grid is run, nothing sampled: each selection of arms by `selectEvents`, each pooled as `poolRates`
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
  return runChoicesAt(review, outcomeId, [target], options)[0]!;
}

/**
 * {@link runChoices} for several questions about one outcome, which share their selections and pools.
 *
 * @throws RangeError as {@link runChoices}
 * @example
 * runChoicesAt(review, 'groove-pain', pooledSites.map((site) => ({ site })))
 */
export function runChoicesAt(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events' | 'judgements'>,
  outcomeId: string,
  targets: readonly ChoiceTarget[],
  options: ChoiceOptions = {},
): readonly ChoicesRun[] {
  checkOptionNames(options, ['grid', 'level']);
  for (const target of targets) checkTarget(target);
  const level = checkLevel(options.level ?? review.protocol.analysis.level);
  const grid = declareChoices(review, outcomeId, options.grid);
  const { ways, notRun } = waysToPool(grid);
  const dimensions = nameChoices(grid);
  const outcome = review.protocol.outcomes.find(({ id }) => id === outcomeId) as EventsOutcome;
  const pools = new Map<string, FastRatePool>();
  const selected = [...selections(review, outcomeId, grid)].map(({ choices, at }) => {
    const sites = new Map<PooledSite, PoolAtSite>();
    const poolAt = (site: PooledSite): PoolAtSite => {
      let found = sites.get(site);
      if (found !== undefined) return found;
      const counts = at(site);
      const key = counts.map(({ events, total }) => `${events}/${total}`).join(' ');
      const pool = pools.get(key) ?? fastRatePool(counts, level);
      pools.set(key, pool);
      found = { key, pool };
      sites.set(site, found);
      return found;
    };
    return { choices, poolAt };
  });
  return targets.map((target): ChoicesRun => {
    // Many selections end in the same arms: every way to pool those is worked out once.
    const answers = new Map<string, { readonly block: readonly Answer[]; readonly set: number }>();
    const selectionOf = new Uint32Array(selected.length * ways.length);
    const analyses: ChoiceAnalysis[] = [];
    for (const { choices, poolAt } of selected) {
      const { key, pool } = poolAt(target.site);
      const other = target.minus === undefined ? undefined : poolAt(target.minus);
      const pair = `${key} | ${other?.key ?? ''}`;
      let known = answers.get(pair);
      if (known === undefined) {
        known = { block: ways.map((way) => answerOf(pool, other?.pool, way)), set: answers.size };
        answers.set(pair, known);
      }
      for (const [w, way] of ways.entries()) {
        selectionOf[analyses.length] = known.set;
        analyses.push({ choices: [...choices, ...way.choices], ...known.block[w]! });
      }
    }
    return {
      kind: 'choices-run',
      outcome,
      target,
      level,
      grid,
      dimensions,
      analyses,
      notRun: notRun.map(({ reason, combinations }) => ({
        reason,
        combinations: combinations * selected.length,
      })),
      selectionOf,
      distinctSelections: answers.size,
    };
  });
}

function checkTarget(target: ChoiceTarget): void {
  checkOptionNames(target, ['site', 'minus']);
  for (const site of [target.site, ...(target.minus === undefined ? [] : [target.minus])]) {
    if (!pooledSites.includes(site))
      throw new RangeError(`site must be one of ${pooledSites.join(', ')}, received "${site}"`);
  }
  if (target.minus === target.site) throw new RangeError(`minus must be another site than "${target.site}"`);
}

interface PoolAtSite {
  readonly key: string;
  readonly pool: FastRatePool;
}

type Answer = Omit<ChoiceAnalysis, 'choices'>;

/** The number of one way to pool, and what it rests on. */
function answerOf(pool: FastRatePool, other: FastRatePool | undefined, way: WayToPool): Answer {
  const { scale, zeroEvents, estimator, interval } = way;
  const rate = pool.rate(scale, zeroEvents, estimator, interval);
  if (rate === undefined) return nothing;
  const own = pool.inNumber(scale, zeroEvents);
  if (other === undefined)
    return { value: rate.rate, lower: rate.interval.lower, upper: rate.interval.upper, ...own };
  const minus = other.rate(scale, zeroEvents, estimator, interval);
  if (minus === undefined) return nothing;
  const { arms, shoulders, events } = other.inNumber(scale, zeroEvents);
  return {
    ...rateDifference(rate, minus),
    arms: own.arms + arms,
    shoulders: own.shoulders + shoulders,
    events: own.events + events,
  };
}

const nothing: Answer = {
  value: undefined,
  lower: undefined,
  upper: undefined,
  arms: 0,
  shoulders: 0,
  events: 0,
};
