import { findIncreasingRoot } from '../../numerics/rootFinding.ts';
import { adaptivePanels } from './adaptivePanels.ts';
import {
  kronrodNodes,
  kronrodWeights,
  legendreCoefficients,
  legendreSum,
  panelPoints,
} from './gaussKronrod.ts';

/**
 * A posterior density as plain numbers, good for densities, probabilities and quantiles alike.
 *
 * On each panel between two `edges` the density is the polynomial through its 15 `values`. Edges and values
 * are in the coordinate t with x = centre + scale·sinh(t), which is even near the centre and logarithmic far
 * out, so that heavy tails need few panels.
 */
export interface TabulatedDensity {
  readonly centre: number;
  readonly scale: number;
  /** Ascending, in t; one more than there are panels. */
  readonly edges: readonly number[];
  /** Density in t at the Kronrod points of each panel, 15 a panel, panels in order. */
  readonly values: readonly number[];
  /** Probability below the first edge. */
  readonly below: number;
}

/** One point of a density to draw. */
export interface DensityPoint {
  readonly value: number;
  readonly density: number;
}

/**
 * Tabulates a density given as a function, over the part of the range from `lower` to `upper` where it counts.
 *
 * @param density density in x, up to a constant
 * @param tolerance share of the total that the panels may leave in error
 */
export function tabulateDensity(
  density: (x: number) => number,
  range: {
    readonly centre: number;
    readonly scale: number;
    readonly lower: number;
    readonly upper: number;
    readonly tolerance: number;
  },
): TabulatedDensity {
  const { centre, scale } = range;
  const inT = (t: number): number => density(centre + scale * Math.sinh(t)) * scale * Math.cosh(t);
  let low = Math.asinh((range.lower - centre) / scale);
  let high = Math.asinh((range.upper - centre) / scale);
  // A coarse look trims the ends where nothing is left, so that no panel is spent on them.
  const looks = Math.max(24, Math.ceil((high - low) / 0.4));
  const step = (high - low) / looks;
  const seen: number[] = [];
  let peak = 0;
  for (let index = 0; index <= looks; index++) {
    seen.push(inT(low + index * step));
    peak = Math.max(peak, seen[index]!);
  }
  const floor = peak * 1e-16;
  let first = seen.findIndex((value) => value > floor);
  let last = seen.findLastIndex((value) => value > floor);
  first = Math.max(0, first - 1);
  last = Math.min(looks, last + 1);
  high = low + last * step;
  low += first * step;
  const count = Math.min(24, Math.max(4, Math.ceil((high - low) / 0.7)));
  const edges = Array.from({ length: count + 1 }, (_, index) => low + ((high - low) * index) / count);
  const result = adaptivePanels((t) => ({ value: inT(t), payload: undefined }), edges, {
    tolerance: range.tolerance,
    maximumPanels: 200,
  });
  return fromPanels(result.panels, result.total, centre, scale);
}

/** The table of panels already integrated, divided by their total. */
export function fromPanels(
  panels: readonly { readonly lower: number; readonly upper: number; readonly values: readonly number[] }[],
  total: number,
  centre: number,
  scale: number,
): TabulatedDensity {
  return {
    centre,
    scale,
    edges: [panels[0]!.lower, ...panels.map((panel) => panel.upper)],
    values: panels.flatMap((panel) => panel.values.map((value) => value / total)),
    below: 0,
  };
}

/** Density at `x`; 0 outside the table. */
export function densityAt(table: TabulatedDensity, x: number): number {
  const t = Math.asinh((x - table.centre) / table.scale);
  const panel = panelOf(table, t);
  if (panel < 0 || panel >= table.edges.length - 1) return 0;
  const { half, middle } = geometry(table, panel);
  const { value } = legendreSum(legendreCoefficients(table.values, panel * panelPoints), (t - middle) / half);
  return Math.max(0, value) / (table.scale * Math.cosh(t));
}

/** Probability of a value of at most `x`. */
export function cumulativeAt(table: TabulatedDensity, x: number): number {
  const t = Math.asinh((x - table.centre) / table.scale);
  const panel = panelOf(table, t);
  if (panel < 0) return 0;
  if (panel >= table.edges.length - 1) return 1;
  let sum = table.below;
  for (let index = 0; index < panel; index++) sum += panelIntegral(table, index);
  const { half, middle } = geometry(table, panel);
  const coefficients = legendreCoefficients(table.values, panel * panelPoints);
  sum += half * legendreSum(coefficients, (t - middle) / half).integral;
  return Math.min(1, Math.max(0, sum));
}

/**
 * The value that a share `probability` of the posterior lies below, by solving the cumulative distribution.
 *
 * @throws RangeError unless `probability` lies strictly between 0 and 1
 *
 * @example
 * quantileOf(posterior.mean.density, 0.975)
 */
export function quantileOf(table: TabulatedDensity, probability: number): number {
  if (!(typeof probability === 'number' && probability > 0 && probability < 1)) {
    throw new RangeError(`probability must be above 0 and below 1, received ${probability}`);
  }
  let left = probability - table.below;
  const panels = table.edges.length - 1;
  let panel = 0;
  for (; panel < panels - 1; panel++) {
    const integral = panelIntegral(table, panel);
    if (integral >= left) break;
    left -= integral;
  }
  const { half, middle } = geometry(table, panel);
  const coefficients = legendreCoefficients(table.values, panel * panelPoints);
  const search = findIncreasingRoot(
    (u, out) => {
      const { value, integral } = legendreSum(coefficients, u);
      out[0] = half * integral - left;
      out[1] = half * value;
    },
    -1,
    1,
    0,
  );
  return table.centre + table.scale * Math.sinh(middle + half * search.root);
}

/**
 * Mean of `f(x)` under the density.
 *
 * @param cuts places between which `f` is smooth, where it varies faster than the density may
 */
export function expectationOf(
  table: TabulatedDensity,
  f: (x: number) => number,
  cuts: readonly number[] = [],
): number {
  const inner = cuts.map((x) => Math.asinh((x - table.centre) / table.scale)).sort((a, b) => a - b);
  let sum = 0;
  for (let panel = 0; panel < table.edges.length - 1; panel++) {
    const lower = table.edges[panel]!;
    const upper = table.edges[panel + 1]!;
    const whole = geometry(table, panel);
    const coefficients = legendreCoefficients(table.values, panel * panelPoints);
    const parts = [lower, ...inner.filter((t) => t > lower && t < upper), upper];
    for (let part = 0; part + 1 < parts.length; part++) {
      const half = 0.5 * (parts[part + 1]! - parts[part]!);
      const middle = 0.5 * (parts[part + 1]! + parts[part]!);
      let partSum = 0;
      for (let index = 0; index < panelPoints; index++) {
        const t = middle + half * kronrodNodes[index]!;
        const density =
          parts.length === 2
            ? table.values[panel * panelPoints + index]!
            : legendreSum(coefficients, (t - whole.middle) / whole.half).value;
        partSum += kronrodWeights[index]! * density * f(table.centre + table.scale * Math.sinh(t));
      }
      sum += half * partSum;
    }
  }
  return sum;
}

/**
 * Points to draw a posterior density from, evenly spaced between the quantiles at `tail` and 1 − `tail`.
 *
 * @throws RangeError unless `points` is a whole number of at least 2 and `tail` is above 0 and below 0.5
 *
 * @example
 * densityGrid(posterior.mean.density, { points: 200 })
 */
export function densityGrid(
  table: TabulatedDensity,
  options: { readonly points?: number; readonly tail?: number } = {},
): DensityPoint[] {
  const { points = 128, tail = 0.0005 } = options;
  checkGrid(points, tail);
  const lower = quantileOf(table, tail);
  const upper = quantileOf(table, 1 - tail);
  return Array.from({ length: points }, (_, index) => {
    const value = lower + ((upper - lower) * index) / (points - 1);
    return { value, density: densityAt(table, value) };
  });
}

/**
 * The same on the rate scale, for a density of logits: points evenly spaced in the rate, 0 to 1.
 *
 * @throws RangeError unless `points` is a whole number of at least 2 and `tail` is above 0 and below 0.5
 */
export function rateDensityGrid(
  table: TabulatedDensity,
  options: { readonly points?: number; readonly tail?: number } = {},
): DensityPoint[] {
  const { points = 128, tail = 0.0005 } = options;
  checkGrid(points, tail);
  const rateOf = (logit: number): number => 1 / (1 + Math.exp(-logit));
  const lower = rateOf(quantileOf(table, tail));
  const upper = rateOf(quantileOf(table, 1 - tail));
  return Array.from({ length: points }, (_, index) => {
    const value = lower + ((upper - lower) * index) / (points - 1);
    const slope = value * (1 - value);
    const density = slope > 0 ? densityAt(table, Math.log(value / (1 - value))) / slope : 0;
    return { value, density };
  });
}

function checkGrid(points: number, tail: number): void {
  if (!Number.isInteger(points) || points < 2) {
    throw new RangeError(`points must be a whole number of at least 2, received ${points}`);
  }
  if (!(typeof tail === 'number' && tail > 0 && tail < 0.5))
    throw new RangeError(`tail must be above 0 and below 0.5, received ${tail}`);
}

function geometry(table: TabulatedDensity, panel: number): { half: number; middle: number } {
  const lower = table.edges[panel]!;
  const upper = table.edges[panel + 1]!;
  return { half: 0.5 * (upper - lower), middle: 0.5 * (upper + lower) };
}

function panelIntegral(table: TabulatedDensity, panel: number): number {
  let sum = 0;
  for (let index = 0; index < panelPoints; index++) {
    sum += kronrodWeights[index]! * table.values[panel * panelPoints + index]!;
  }
  return sum * geometry(table, panel).half;
}

// -1 below the first edge, the number of panels above the last.
function panelOf(table: TabulatedDensity, t: number): number {
  const panels = table.edges.length - 1;
  if (t < table.edges[0]!) return -1;
  if (t > table.edges[panels]!) return panels;
  for (let panel = 0; panel < panels; panel++) if (t <= table.edges[panel + 1]!) return panel;
  return panels;
}
