import { nice, ticks as niceTicks } from 'd3-array';
import type { ContrastScale } from '../effects/analysisScale.ts';
import type { Interval } from '../numerics/interval.ts';
import type { Axis, Tick } from './axis.ts';

export interface EffectAxisData {
  readonly values: readonly number[];
  readonly intervals: readonly Interval[];
  readonly title: string;
  readonly tickCount: number;
}

/** Is a scale read as a ratio, on a log axis with 1 for no difference? */
export const isRatioScale = (scale: string): boolean =>
  scale === 'log-odds-ratio' || scale === 'log-risk-ratio' || scale === 'log-ratio-of-means';

/** Ratios beyond a hundredfold are held at the end of the axis unless an estimate itself lies there. */
const widestRatio = Math.log(100);

function logTicks(lower: number, upper: number, tickCount: number): readonly Tick[] {
  const decades = (steps: readonly number[]): number[] =>
    Array.from({ length: 13 }, (_, index) => index - 6)
      .flatMap((power) => steps.map((step) => Number((step * 10 ** power).toPrecision(1))))
      .filter((ratio) => Math.log(ratio) >= lower - 1e-9 && Math.log(ratio) <= upper + 1e-9);
  const choices = [decades([1, 2, 5]), decades([1, 3]), decades([1])];
  const chosen = choices.find((choice) => choice.length <= tickCount + 2) ?? decades([1]);
  const every = Math.max(1, Math.ceil(chosen.length / (tickCount + 2)));
  const one = chosen.indexOf(1);
  return chosen
    .filter((_, index) => (index - one) % every === 0)
    .map((ratio) => ({ at: Math.log(ratio), text: String(ratio) }));
}

function ratioAxis({ values, intervals, title, tickCount }: EffectAxisData): Axis {
  const logs = values.filter((ratio) => ratio > 0).map(Math.log);
  const ends = intervals
    .flatMap(({ lower, upper }) => [lower, upper])
    .filter((ratio) => ratio > 0)
    .map((ratio) => Math.max(-widestRatio, Math.min(widestRatio, Math.log(ratio))));
  const least = Math.min(Math.log(0.5), ...logs, ...ends);
  const most = Math.max(Math.log(2), ...logs, ...ends);
  const edge = 0.025 * (most - least);
  const [lower, upper] = [least - edge, most + edge];
  return {
    lower,
    upper,
    ticks: logTicks(lower, upper, tickCount),
    title,
    toAxis: (ratio) => (ratio > 0 ? Math.log(ratio) : Number.NEGATIVE_INFINITY),
  };
}

const minusSign = (number: number): string => String(Number(number.toPrecision(6))).replace('-', '\u2212');

function differenceAxis({ values, intervals, title, tickCount }: EffectAxisData, factor: number): Axis {
  const all = [...values, ...intervals.flatMap(({ lower, upper }) => [lower, upper])];
  const reach = Math.max(1e-9, ...all.map(Math.abs));
  const [low, high] = nice(
    factor * Math.min(-0.1 * reach, ...all),
    factor * Math.max(0.1 * reach, ...all),
    tickCount,
  );
  return {
    lower: low / factor,
    upper: high / factor,
    ticks: niceTicks(low, high, tickCount).map((at) => ({ at: at / factor, text: minusSign(at) })),
    title,
    toAxis: (difference) => difference,
  };
}

/** An axis of effects: ratios on a log axis, differences on an even one (risk differences in points of 100). */
export const effectAxis = (scale: ContrastScale, data: EffectAxisData): Axis =>
  isRatioScale(scale) ? ratioAxis(data) : differenceAxis(data, scale === 'risk-difference' ? 100 : 1);
