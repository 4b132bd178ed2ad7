// Counts of what was seen, whole numbers only, so that parts add up to the same table in any order.

/** What one method did at one point. */
export interface Tally {
  /** Reviews it was asked about, and those it gave no interval for. */
  reviews: number;
  withoutInterval: number;
  covered: number;
  /** Interval wholly below the truth, and wholly above it. */
  below: number;
  above: number;
  /** Estimate over truth (rates), or estimate less truth (log effects), in two-hundredths: how many reviews each. */
  readonly estimates: Map<number, number>;
  /** Width of the interval over the truth (rates) or on the log, as hundredths of its logarithm. */
  readonly widths: Map<number, number>;
  /** Probability of the next study in the prediction interval, summed in millionths, and over how many reviews. */
  predicted: number;
  predictions: number;
}

export const emptyTally = (): Tally => ({
  reviews: 0,
  withoutInterval: 0,
  covered: 0,
  below: 0,
  above: 0,
  estimates: new Map(),
  widths: new Map(),
  predicted: 0,
  predictions: 0,
});

/** Adds one review. `scale` turns estimate and limits into what is counted. */
export function count(
  tally: Tally,
  truth: number,
  estimate: number | undefined,
  interval: { readonly lower: number; readonly upper: number } | undefined,
  ratio: boolean,
): void {
  tally.reviews += 1;
  if (estimate !== undefined) {
    const off = ratio ? estimate / truth : estimate - truth;
    raise(tally.estimates, Math.round(200 * Math.min(off, 50)));
  }
  if (!interval) {
    tally.withoutInterval += 1;
    return;
  }
  if (interval.upper < truth) tally.below += 1;
  else if (interval.lower > truth) tally.above += 1;
  else tally.covered += 1;
  const width = interval.upper - interval.lower;
  raise(tally.widths, Math.round(100 * Math.log(Math.max(1e-9, ratio ? width / truth : width))));
}

function raise(map: Map<number, number>, key: number, by = 1): void {
  map.set(key, (map.get(key) ?? 0) + by);
}

export function addTally(to: Tally, from: Tally): void {
  to.reviews += from.reviews;
  to.withoutInterval += from.withoutInterval;
  to.covered += from.covered;
  to.below += from.below;
  to.above += from.above;
  to.predicted += from.predicted;
  to.predictions += from.predictions;
  for (const [key, by] of from.estimates) raise(to.estimates, key, by);
  for (const [key, by] of from.widths) raise(to.widths, key, by);
}

/** A tally as it stands in a part's file. */
export interface WrittenTally
  extends Pick<
    Tally,
    'reviews' | 'withoutInterval' | 'covered' | 'below' | 'above' | 'predicted' | 'predictions'
  > {
  readonly estimates: readonly (readonly [number, number])[];
  readonly widths: readonly (readonly [number, number])[];
}

const sorted = (map: ReadonlyMap<number, number>) => [...map].sort(([a], [b]) => a - b);
export const writeTally = (tally: Tally): WrittenTally => ({
  ...tally,
  estimates: sorted(tally.estimates),
  widths: sorted(tally.widths),
});
export const readTally = (written: WrittenTally): Tally => ({
  ...written,
  estimates: new Map(written.estimates),
  widths: new Map(written.widths),
});

/** What is printed of a tally. */
export interface Summary {
  readonly reviews: number;
  /** Share of reviews whose interval held the truth, among those with one, and its Monte Carlo standard error. */
  readonly coverage: number;
  readonly monteCarloError: number;
  /** Shares of intervals wholly below, and wholly above, the truth. */
  readonly below: number;
  readonly above: number;
  readonly withoutInterval: number;
  /** Median estimate over truth, or less truth on the log. */
  readonly estimate: number;
  /** Median width over truth, or on the log. */
  readonly width: number;
  readonly prediction?: number;
}

export function summarise(tally: Tally): Summary | undefined {
  const answered = tally.covered + tally.below + tally.above;
  if (answered === 0) return undefined;
  const coverage = tally.covered / answered;
  const digits = (value: number, places: number): number => Number(value.toFixed(places));
  return {
    reviews: tally.reviews,
    coverage: digits(coverage, 4),
    monteCarloError: digits(Math.sqrt((coverage * (1 - coverage)) / answered), 4),
    below: digits(tally.below / answered, 4),
    above: digits(tally.above / answered, 4),
    withoutInterval: tally.withoutInterval,
    estimate: digits(median(tally.estimates) / 200, 3),
    width: Number(Math.exp(median(tally.widths) / 100).toPrecision(3)),
    ...(tally.predictions > 0 ? { prediction: digits(tally.predicted / 1e6 / tally.predictions, 4) } : {}),
  };
}

/** The value in the middle, read evenly within the bin that holds it. */
function median(map: ReadonlyMap<number, number>): number {
  const rows = sorted(map);
  const total = rows.reduce((sum, [, by]) => sum + by, 0);
  let before = 0;
  for (const [key, by] of rows) {
    if (before + by >= total / 2) return key - 0.5 + (total / 2 - before) / by;
    before += by;
  }
  return Number.NaN;
}
