import { ticks as niceTicks, tickStep } from 'd3-array';
import type { Interval } from '../numerics/interval.ts';
import type { Axis, Tick } from './axis.ts';

/** How a rate axis is spaced: evenly in per cent, or evenly in log odds with its ticks still in per cent. */
export const rateSpacings = ['linear', 'logit'] as const;
export type RateSpacing = (typeof rateSpacings)[number];

export interface PercentAxisData {
  /** Rates that must be on the axis, 0 to 1. */
  readonly rates: readonly number[];
  /** Intervals that should be, unless they would squeeze the rates into a corner. */
  readonly intervals: readonly Interval[];
  readonly title: string;
  readonly tickCount: number;
}

const percentText = (rate: number): string => String(Number((100 * rate).toPrecision(6)));

/** Whiskers may stretch the axis to this many times the largest rate; beyond, they end in an arrow. */
const longestStretch = 2.5;

function linearAxis({ rates, intervals, title, tickCount }: PercentAxisData): Axis {
  const largestRate = Math.max(0, ...rates);
  const largestEnd = Math.max(largestRate, ...intervals.map(({ upper }) => upper));
  const wanted = Math.min(
    1,
    largestEnd,
    largestRate > 0 ? Math.max(0.01, longestStretch * largestRate) : largestEnd,
  );
  const reach = wanted > 0 ? wanted : 0.05;
  const step = tickStep(0, 100 * reach, tickCount) / 100;
  // Half a step is enough to end on: a whole one wastes room.
  const upper = Math.min(1, (step / 2) * Math.ceil((2 * reach) / step - 1e-9));
  return {
    lower: 0,
    upper,
    ticks: niceTicks(0, 100 * upper, tickCount).map(
      (at): Tick => ({ at: at / 100, text: percentText(at / 100) }),
    ),
    title,
    toAxis: (rate) => rate,
  };
}

const logit = (rate: number): number => Math.log(rate / (1 - rate));
const logitTicks = [
  0.0001, 0.0002, 0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.9, 0.95, 0.98,
  0.99, 0.995, 0.998, 0.999,
];

function logitAxis({ rates, intervals, title, tickCount }: PercentAxisData): Axis {
  const inside = [...rates, ...intervals.flatMap(({ lower, upper }) => [lower, upper])].filter(
    (rate) => rate > 0 && rate < 1,
  );
  const lower = Math.max(0.0005, Math.min(0.05, ...inside)) * 0.8;
  const upper = 1 - 0.8 * Math.max(0.0005, Math.min(0.5, ...inside.map((rate) => 1 - rate)));
  const shown = logitTicks.filter((tick) => tick >= lower && tick <= upper);
  const every = Math.max(1, Math.ceil(shown.length / (tickCount + 2)));
  return {
    lower: logit(lower),
    upper: logit(upper),
    ticks: shown
      .filter((_, index) => index % every === 0)
      .map((rate) => ({ at: logit(rate), text: percentText(rate) })),
    title,
    // Rates of 0 and 1 lie at infinity on this axis; they are held at its ends.
    toAxis: logit,
  };
}

/** An axis of rates: `spacing` says how it is stretched, ticks are always in per cent. */
export const percentAxis = (spacing: RateSpacing, data: PercentAxisData): Axis =>
  spacing === 'linear' ? linearAxis(data) : logitAxis(data);
