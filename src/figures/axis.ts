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
