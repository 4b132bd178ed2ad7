import type { Estimate } from '../../effects/estimate.ts';
import { isMember, memberCount, type SubsetCloud } from './subsetCloud.ts';

/** The studies whose presence explains at least this share of the cloud's spread are said to split it. */
export const splittingShare = 0.5;

/** What one study's presence does to the pools of the subsets. */
export interface PresenceEffect {
  readonly study: string;
  readonly label: string;
  readonly arm?: string;
  /** Position among the estimates. */
  readonly position: number;
  readonly meanWith: number;
  readonly meanWithout: number;
  readonly iSquaredWith: number;
  readonly iSquaredWithout: number;
  /** Share of the variance of the subsets' means that presence alone explains, 0 to 1; undefined without variance. */
  readonly shareOfMeans: number | undefined;
  readonly shareOfISquared: number | undefined;
  /** Whether either share reaches {@link splittingShare}. */
  readonly splits: boolean;
}

export interface Spread {
  readonly lowest: number;
  readonly low: number;
  readonly median: number;
  readonly high: number;
  readonly highest: number;
}

export interface CloudDescription {
  readonly kind: 'cloud-description';
  /** Subsets counted: those of at least `fewest` studies. */
  readonly subsets: number;
  readonly fewest: number;
  /** Means on the analysis scale: ends, middle, and the 2.5 and 97.5 percentiles. */
  readonly means: Spread;
  readonly iSquared: Spread;
  /** Strongest first. */
  readonly presence: readonly PresenceEffect[];
}

/**
 * How far apart are the answers of the subsets, and whose presence decides which answer it is?
 *
 * For each study the subsets part into those with it and those without. The share its presence explains is
 * `p (1 - p) (m₁ - m₀)² / Var`, the between-group part of the variance of the subsets' means (and of their I²), with p
 * the share of subsets it is in: the first-order effect of one yes-or-no factor. Near 1 the cloud falls into two.
 *
 * @param options `fewest`: subsets of fewer studies are not counted, default 2, since one study has no I²
 * @returns undefined when no subset is large enough
 *
 * Sources: Olkin I, Dahabreh IJ, Trikalinos TA, Res Synth Methods 2012;3:214-223 (the picture); Sobol IM, Math Comput
 * Simul 2001;55:271-280 (first-order share of variance).
 *
 * @example
 * describeCloud(cloud)?.presence.filter((study) => study.splits).map((study) => study.label)
 */
export function describeCloud(
  cloud: SubsetCloud,
  options: { readonly fewest?: number } = {},
): CloudDescription | undefined {
  const fewest = options.fewest ?? 2;
  if (!(Number.isInteger(fewest) && fewest >= 1)) {
    throw new RangeError(`fewest must be a whole number of at least 1, received ${fewest}`);
  }
  const counted: number[] = [];
  for (let subset = 0; subset < cloud.subsets; subset++) {
    if (memberCount(cloud, subset) >= fewest) counted.push(subset);
  }
  if (counted.length === 0) return undefined;
  const means = Float64Array.from(counted, (subset) => cloud.means[subset]!);
  const iSquared = Float64Array.from(counted, (subset) => cloud.iSquared[subset]!);
  const totals = { means: momentsOf(means), iSquared: momentsOf(iSquared) };
  const presence = cloud.estimates.map((estimate, position) =>
    presenceOf(cloud, estimate, position, counted, means, iSquared, totals),
  );
  presence.sort((a, b) => strength(b) - strength(a));
  return {
    kind: 'cloud-description',
    subsets: counted.length,
    fewest,
    means: spreadOf(means),
    iSquared: spreadOf(iSquared),
    presence,
  };
}

const strength = ({ shareOfMeans, shareOfISquared }: PresenceEffect): number =>
  Math.max(shareOfMeans ?? 0, shareOfISquared ?? 0);

interface Moments {
  readonly mean: number;
  readonly variance: number;
}

function momentsOf(values: Float64Array): Moments {
  const centre = values[0]!;
  let sum = 0;
  for (const value of values) sum += value - centre;
  const mean = centre + sum / values.length;
  let squares = 0;
  for (const value of values) squares += (value - mean) ** 2;
  return { mean, variance: squares / values.length };
}

function presenceOf(
  cloud: SubsetCloud,
  { study, label, arm }: Estimate,
  position: number,
  counted: readonly number[],
  means: Float64Array,
  iSquared: Float64Array,
  totals: { readonly means: Moments; readonly iSquared: Moments },
): PresenceEffect {
  let size = 0;
  let meanSum = 0;
  let shareSum = 0;
  for (let i = 0; i < counted.length; i++) {
    if (!isMember(cloud, counted[i]!, position)) continue;
    size++;
    meanSum += means[i]! - totals.means.mean;
    shareSum += iSquared[i]! - totals.iSquared.mean;
  }
  const others = counted.length - size;
  const p = size / counted.length;
  const part = (sum: number, { mean, variance }: Moments) => {
    const above = size === 0 ? 0 : sum / size;
    const below = others === 0 ? 0 : -sum / others;
    const explained = p * (1 - p) * (above - below) ** 2;
    // A spread of nothing but rounding has no share to explain.
    const share = variance > 1e-24 * Math.max(1, mean * mean) ? Math.min(1, explained / variance) : undefined;
    return { withIt: mean + above, without: mean + below, share };
  };
  const ofMeans = part(meanSum, totals.means);
  const ofISquared = part(shareSum, totals.iSquared);
  return {
    study,
    label,
    ...(arm === undefined ? {} : { arm }),
    position,
    meanWith: ofMeans.withIt,
    meanWithout: ofMeans.without,
    iSquaredWith: ofISquared.withIt,
    iSquaredWithout: ofISquared.without,
    shareOfMeans: ofMeans.share,
    shareOfISquared: ofISquared.share,
    splits: (ofMeans.share ?? 0) >= splittingShare || (ofISquared.share ?? 0) >= splittingShare,
  };
}

function spreadOf(values: Float64Array): Spread {
  const sorted = values.slice().sort();
  // Between neighbours in order, as Hyndman RJ, Fan Y, Am Stat 1996;50:361-365, definition 7.
  const at = (share: number): number => {
    const place = share * (sorted.length - 1);
    const below = sorted[Math.floor(place)]!;
    return below + (place - Math.floor(place)) * (sorted[Math.ceil(place)]! - below);
  };
  return { lowest: sorted[0]!, low: at(0.025), median: at(0.5), high: at(0.975), highest: sorted.at(-1)! };
}
