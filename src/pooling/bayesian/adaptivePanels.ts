import {
  kronrodNodes,
  kronrodWeights,
  legendreCoefficients,
  nestedGaussWeights,
  panelPoints,
} from './gaussKronrod.ts';

/** A stretch of the integration variable with the integrand at its 15 points. */
export interface Panel<Payload> {
  readonly lower: number;
  readonly upper: number;
  readonly points: readonly number[];
  readonly values: readonly number[];
  readonly payloads: readonly Payload[];
}

/** What an adaptive integration ended with. */
export interface AdaptivePanels<Payload> {
  readonly panels: readonly Panel<Payload>[];
  readonly total: number;
  /** Largest of the errors left over the total, by the rule used to stop. */
  readonly relativeError: number;
  readonly converged: boolean;
}

/** The integrand at a point, with whatever the caller wants to keep of its evaluation. */
export interface Evaluation<Payload> {
  readonly value: number;
  readonly payload: Payload;
}

interface MeasuredPanel<Payload> extends Panel<Payload> {
  readonly integrals: readonly number[];
  readonly errors: readonly number[];
}

/**
 * Which panels are enough to integrate a function, and to read it between the points too?
 *
 * Panels are halved, the worst first, until the error left is within `tolerance` of the total. A panel's error
 * is the larger of the difference between the 15-point Kronrod and the nested 7-point Gauss rule, and of the
 * size of its last two Legendre coefficients: the second keeps the panel's polynomial good between its points,
 * so that partial integrals (the cumulative distribution) are as good as the whole. Further integrands
 * (`moments`, functions of the point that multiply the first) must converge to the same tolerance.
 *
 * Source: Piessens R, de Doncker-Kapenga E, Überhuber CW, Kahaner DK. QUADPACK, 1983, routine QAG.
 */
export function adaptivePanels<Payload>(
  evaluate: (point: number) => Evaluation<Payload>,
  edges: readonly number[],
  options: {
    readonly tolerance: number;
    readonly maximumPanels: number;
    readonly moments?: readonly ((point: number) => number)[];
  },
): AdaptivePanels<Payload> {
  const moments = options.moments ?? [];
  const panels: MeasuredPanel<Payload>[] = [];
  for (let index = 0; index + 1 < edges.length; index++) {
    panels.push(measure(evaluate, edges[index]!, edges[index + 1]!, moments));
  }
  for (;;) {
    const totals = sumOver(panels, (panel) => panel.integrals, moments.length + 1);
    const errors = sumOver(panels, (panel) => panel.errors, moments.length + 1);
    const share = (values: readonly number[]): number => {
      let largest = 0;
      for (let index = 0; index < values.length; index++) {
        const total = Math.abs(totals[index]!);
        if (total > 0) largest = Math.max(largest, values[index]! / total);
      }
      return largest;
    };
    const relativeError = share(errors);
    if (relativeError <= options.tolerance || panels.length >= options.maximumPanels) {
      panels.sort((a, b) => a.lower - b.lower);
      return { panels, total: totals[0]!, relativeError, converged: relativeError <= options.tolerance };
    }
    let worst = 0;
    let worstShare = -1;
    for (let index = 0; index < panels.length; index++) {
      const panelShare = share(panels[index]!.errors);
      if (panelShare > worstShare) {
        worst = index;
        worstShare = panelShare;
      }
    }
    const { lower, upper } = panels[worst]!;
    const middle = 0.5 * (lower + upper);
    panels[worst] = measure(evaluate, lower, middle, moments);
    panels.push(measure(evaluate, middle, upper, moments));
  }
}

function measure<Payload>(
  evaluate: (point: number) => Evaluation<Payload>,
  lower: number,
  upper: number,
  moments: readonly ((point: number) => number)[],
): MeasuredPanel<Payload> {
  const half = 0.5 * (upper - lower);
  const middle = 0.5 * (upper + lower);
  const points: number[] = [];
  const values: number[] = [];
  const payloads: Payload[] = [];
  for (let index = 0; index < panelPoints; index++) {
    const point = middle + half * kronrodNodes[index]!;
    const { value, payload } = evaluate(point);
    points.push(point);
    values.push(value);
    payloads.push(payload);
  }
  const integrals: number[] = [];
  const errors: number[] = [];
  for (let which = -1; which < moments.length; which++) {
    let kronrod = 0;
    let gauss = 0;
    for (let index = 0; index < panelPoints; index++) {
      const value = which < 0 ? values[index]! : values[index]! * moments[which]!(points[index]!);
      kronrod += kronrodWeights[index]! * value;
      gauss += nestedGaussWeights[index]! * value;
    }
    let error = half * Math.abs(kronrod - gauss);
    if (which < 0) {
      const coefficients = legendreCoefficients(values);
      error = Math.max(error, half * (Math.abs(coefficients[13]!) + Math.abs(coefficients[14]!)));
    }
    integrals.push(half * kronrod);
    errors.push(error);
  }
  return { lower, upper, points, values, payloads, integrals, errors };
}

function sumOver<T>(items: readonly T[], pick: (item: T) => readonly number[], length: number): number[] {
  const sums = new Array<number>(length).fill(0);
  for (const item of items) {
    const values = pick(item);
    for (let index = 0; index < length; index++) sums[index]! += values[index]!;
  }
  return sums;
}
