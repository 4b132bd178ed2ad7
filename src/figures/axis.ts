import { textWidth } from './textWidth.ts';

/** A tick in axis units with its label. */
export interface Tick {
  readonly at: number;
  readonly text: string;
}

/**
 * A position axis. Values a reader knows (a rate from 0 to 1, an odds ratio) are turned into axis units,
 * in which the picture is linear.
 */
export interface Axis {
  readonly lower: number;
  readonly upper: number;
  readonly ticks: readonly Tick[];
  readonly title: string;
  /** Axis units of a value; may fall outside the axis or be infinite. */
  readonly toAxis: (value: number) => number;
}

/** A value's place on the axis, held inside it, and whether it had to be. */
export function place(axis: Axis, value: number): { readonly at: number; readonly beyond: boolean } {
  const at = axis.toAxis(value);
  // A hair of tolerance, so that a value that is the end of the axis does not grow an arrow.
  const slack = 1e-9 * (axis.upper - axis.lower);
  if (at < axis.lower - slack) return { at: axis.lower, beyond: true };
  if (at > axis.upper + slack) return { at: axis.upper, beyond: true };
  return { at: Math.min(axis.upper, Math.max(axis.lower, at)), beyond: false };
}

/** Leaves out every other tick (or more) until no two labels touch; a tick at `keep` stays. */
export function thinTicks(axis: Axis, width: number, size: number, keep?: number): Axis {
  const at = (tick: Tick): number => ((tick.at - axis.lower) / (axis.upper - axis.lower)) * width;
  const kept = Math.max(
    0,
    axis.ticks.findIndex((tick) => tick.at === keep),
  );
  for (let every = 1; ; every++) {
    const ticks = axis.ticks.filter((_, index) => (index - kept) % every === 0);
    const crowded = ticks.some((tick, index) => {
      const next = ticks[index + 1];
      return (
        next !== undefined &&
        at(next) - at(tick) < (textWidth(tick.text, size) + textWidth(next.text, size)) / 2 + 4
      );
    });
    if (!crowded) return { ...axis, ticks };
  }
}
