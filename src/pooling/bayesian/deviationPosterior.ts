import { adaptivePanels } from './adaptivePanels.ts';
import { kronrodWeights, nestedGaussWeights, panelPoints } from './gaussKronrod.ts';
import { fromPanels, type TabulatedDensity } from './tabulatedDensity.ts';

/** One value of the between-study standard deviation with its share of the posterior. */
export interface DeviationNode<Payload> {
  readonly deviation: number;
  /** Posterior weight by the 15-point rule; the weights of all nodes sum to 1. */
  readonly weight: number;
  /** The same by the nested 7-point rule, 0 at the points it does not use. */
  readonly coarseWeight: number;
  readonly payload: Payload;
}

/** The posterior of the between-study standard deviation, as nodes to average over and as a density. */
export interface DeviationPosterior<Payload> {
  readonly nodes: readonly DeviationNode<Payload>[];
  readonly density: TabulatedDensity;
  readonly relativeError: number;
  readonly converged: boolean;
}

/** The log posterior density at a standard deviation (up to a constant), with what was made on the way. */
export interface DeviationEvaluation<Payload> {
  readonly logDensity: number;
  readonly payload: Payload;
}

/** Logarithm of what is too small, beside the peak, to matter: exp(-34) is 2e-15. */
const negligible = 34;
/** No analysis scale has studies further apart than this; squares of it are still finite. */
const furthest = 1e120;

/**
 * Integrates over the between-study standard deviation τ, whatever its posterior looks like.
 *
 * The half line is transformed by τ = scale·sinh(t): even near zero, logarithmic far out. A scan over t finds
 * the region that holds the posterior, a golden-section search its peak (with thousands of studies it is narrow),
 * and adaptive Gauss-Kronrod panels the rest.
 *
 * @param evaluate log posterior density in τ, exactly
 * @param rough the same, allowed to be cheaper and less exact, for the scan
 * @param shape.scale a size below which the posterior does not change much
 * @param shape.upper end of the support; Infinity for a half line
 * @param shape.moments highest power of τ, 0 to 2, whose mean exists and must converge too
 */
export function integrateDeviation<Payload>(
  evaluate: (deviation: number) => DeviationEvaluation<Payload>,
  rough: (deviation: number) => number,
  shape: {
    readonly scale: number;
    readonly upper: number;
    readonly moments: number;
    readonly tolerance: number;
  },
): DeviationPosterior<Payload> {
  const { scale, moments } = shape;
  const deviationAt = (t: number): number => scale * Math.sinh(t);
  // In t, and times the highest moment asked for, so that the region holds that moment too.
  const roughInT = (t: number, power: number): number => {
    const value = rough(deviationAt(t)) + logCosh(t) + power * Math.log(Math.max(Math.sinh(t), 1e-300));
    return Number.isNaN(value) ? Number.NEGATIVE_INFINITY : value;
  };
  const end = Math.asinh(Math.min(furthest, shape.upper) / scale);
  const region = findRegion(
    (t) => roughInT(t, 0),
    (t) => roughInT(t, moments),
    end,
  );
  const count = 4;
  const edges = Array.from(
    { length: count + 1 },
    (_, index) => region.lower + ((region.upper - region.lower) * index) / count,
  );
  const reference = region.peak;
  const result = adaptivePanels<DeviationEvaluation<Payload>>(
    (t) => {
      const deviation = deviationAt(t);
      const evaluation = evaluate(deviation);
      const value = Math.exp(evaluation.logDensity + logCosh(t) - reference);
      return { value: Number.isNaN(value) ? 0 : value, payload: evaluation };
    },
    edges,
    {
      tolerance: shape.tolerance,
      maximumPanels: 120,
      moments: [(t: number) => Math.sinh(t), (t: number) => Math.sinh(t) ** 2].slice(0, moments),
    },
  );
  const nodes: DeviationNode<Payload>[] = [];
  let fine = 0;
  let coarse = 0;
  for (const panel of result.panels) {
    const half = 0.5 * (panel.upper - panel.lower);
    for (let index = 0; index < panelPoints; index++) {
      const weight = half * kronrodWeights[index]! * panel.values[index]!;
      const coarseWeight = half * nestedGaussWeights[index]! * panel.values[index]!;
      fine += weight;
      coarse += coarseWeight;
      const { payload } = panel.payloads[index]!;
      nodes.push({ deviation: deviationAt(panel.points[index]!), weight, coarseWeight, payload });
    }
  }
  return {
    nodes: nodes.map((node) => ({
      ...node,
      weight: node.weight / fine,
      coarseWeight: node.coarseWeight / coarse,
    })),
    density: fromPanels(result.panels, result.total, 0, scale),
    relativeError: result.relativeError,
    converged: result.converged,
  };
}

function logCosh(t: number): number {
  return Math.abs(t) + Math.log1p(Math.exp(-2 * Math.abs(t))) - Math.LN2;
}

// Where in t the posterior lies: a scan, the peak between its two best points, then the ends by bisection.
function findRegion(
  plain: (t: number) => number,
  withMoment: (t: number) => number,
  end: number,
): { lower: number; upper: number; peak: number } {
  const step = Math.min(0.75, end / 8);
  let best = step / 2;
  let bestValue = plain(best);
  let bestMoment = withMoment(best);
  for (let t = best + step; t < end; t += step) {
    const value = plain(t);
    const moment = withMoment(t);
    if (value > bestValue) {
      best = t;
      bestValue = value;
    }
    bestMoment = Math.max(bestMoment, moment);
    // Two units past the negligible level, since a second rise after such a fall is not seen in practice.
    if (value < bestValue - 2 * negligible && moment < bestMoment - 2 * negligible) break;
  }
  const golden = 0.5 * (3 - Math.sqrt(5));
  let left = Math.max(1e-4 * step, best - step);
  let right = Math.min(end, best + step);
  let middle = best;
  let middleValue = bestValue;
  for (let iteration = 0; iteration < 60 && right - left > 1e-3 * step; iteration++) {
    const t =
      right - middle > middle - left ? middle + golden * (right - middle) : middle - golden * (middle - left);
    const value = plain(t);
    if (value > middleValue) {
      if (t > middle) left = middle;
      else right = middle;
      middle = t;
      middleValue = value;
    } else if (t > middle) right = t;
    else left = t;
    // Good enough when the drop to both sides is small: the panels need the place, not the digits.
    if (middleValue - plain(left) < 1 && middleValue - plain(right) < 1) break;
  }
  return {
    lower: crossing(plain, middle, 0, middleValue - negligible),
    upper: crossing(withMoment, middle, end, Math.max(withMoment(middle), bestMoment) - negligible),
    peak: middleValue,
  };
}

// Outwards from the peak in growing steps until the function is below the target, then halved closer.
function crossing(f: (t: number) => number, peak: number, limit: number, target: number): number {
  const direction = Math.sign(limit - peak);
  let inside = peak;
  let step = 0.02;
  let outside = peak;
  for (;;) {
    outside = inside + direction * step;
    if (direction > 0 ? outside >= limit : outside <= limit) {
      // At zero the density in t is read a little beside the end, where the logarithm exists.
      const end = limit === 0 ? Math.min(1e-3, inside / 2) : limit;
      if (f(end) > target) return limit;
      outside = limit;
      break;
    }
    if (f(outside) < target) break;
    inside = outside;
    step *= 2;
  }
  for (let iteration = 0; iteration < 4; iteration++) {
    const t = 0.5 * (inside + outside);
    if (f(t) < target) outside = t;
    else inside = t;
  }
  return outside;
}
