/** A range with the probability it is meant to cover. */
export interface Interval {
  readonly lower: number;
  readonly upper: number;
  /** Coverage, for example 0.95. */
  readonly level: number;
}
