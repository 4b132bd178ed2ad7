import type { TwoArmTable } from './twoArmTable.ts';

/**
 * Events in the treated arm of one study, given how many events the study had: the only thing a study says
 * about the odds ratio ψ once its baseline is set aside. `P(a) ∝ C(n₁,a) C(n₂,t−a) ψᵃ`, `a` from `lowest` to
 * `highest`.
 */
export interface NoncentralHypergeometric {
  readonly lowest: number;
  readonly highest: number;
  readonly observed: number;
  /** Logarithms of `C(n₁,a) C(n₂,t−a)`, less the largest of them. */
  readonly logCoefficients: Float64Array;
  /** Writes log P(observed), observed − mean, and variance at log odds ratio θ to `out`. */
  readonly evaluate: (theta: number, out: Float64Array) => void;
}

/**
 * How likely is each split of a study's events between the arms at a given odds ratio?
 *
 * Coefficients by the ratio of neighbours from their mode outwards, so that nothing overflows and sums stay
 * exact to rounding at any size.
 *
 * Source: Breslow NE, Day NE, Statistical Methods in Cancer Research, vol 1, 1980, section 4.2.
 *
 * @example
 * const out = new Float64Array(3);
 * noncentralHypergeometric(table).evaluate(Math.log(2), out); // log-likelihood, score, information
 */
export function noncentralHypergeometric({ treated, comparator }: TwoArmTable): NoncentralHypergeometric {
  const n1 = treated.total;
  const n2 = comparator.total;
  const events = treated.events + comparator.events;
  const lowest = Math.max(0, events - n2);
  const highest = Math.min(n1, events);
  const observed = treated.events;
  const size = highest - lowest + 1;
  // C(a+1) / C(a) for a = lowest + index.
  const ratioUp = new Float64Array(size - 1);
  for (let index = 0; index < size - 1; index++) {
    const a = lowest + index;
    ratioUp[index] = ((n1 - a) * (events - a)) / ((a + 1) * (n2 - events + a + 1));
  }
  const logCoefficients = new Float64Array(size);
  let mode = Math.floor(((n1 + 1) * (events + 1)) / (n1 + n2 + 2)) - lowest;
  mode = Math.min(Math.max(mode, 0), size - 1);
  for (let index = mode; index < size - 1; index++) {
    logCoefficients[index + 1] = logCoefficients[index]! + Math.log(ratioUp[index]!);
  }
  for (let index = mode - 1; index >= 0; index--) {
    logCoefficients[index] = logCoefficients[index + 1]! - Math.log(ratioUp[index]!);
  }
  const evaluate = (logOddsRatio: number, out: Float64Array): void => {
    // Beyond this the exponential overflows, and all probability sits at one end of the support anyway.
    const theta = Math.min(Math.max(logOddsRatio, -600), 600);
    let peak = Math.min(Math.max(modeAt(theta, n1, n2, events) - lowest, 0), size - 1);
    const psi = Math.exp(theta);
    while (peak < size - 1 && ratioUp[peak]! * psi > 1) peak++;
    while (peak > 0 && ratioUp[peak - 1]! * psi < 1) peak--;
    // Sums of P(a)/P(peak), and of its moments around the peak, until terms no longer count.
    let sum = 1;
    let first = 0;
    let second = 0;
    let term = 1;
    for (let index = peak; index < size - 1; index++) {
      term *= ratioUp[index]! * psi;
      if (term < 1e-18) break;
      const away = index + 1 - peak;
      sum += term;
      first += term * away;
      second += term * away * away;
    }
    term = 1;
    for (let index = peak - 1; index >= 0; index--) {
      term /= ratioUp[index]! * psi;
      if (term < 1e-18) break;
      const away = index - peak;
      sum += term;
      first += term * away;
      second += term * away * away;
    }
    const mean = first / sum;
    out[0] =
      logCoefficients[observed - lowest]! -
      logCoefficients[peak]! +
      (observed - lowest - peak) * theta -
      Math.log(sum);
    out[1] = observed - lowest - peak - mean;
    out[2] = second / sum - mean * mean;
  };
  return { lowest, highest, observed, logCoefficients, evaluate };
}

/** Close to the most likely count: the root of n₁-quadratic that equates neighbouring probabilities. */
function modeAt(theta: number, n1: number, n2: number, events: number): number {
  const psi = Math.exp(theta);
  const a = psi - 1;
  const b = -((n1 + events + 2) * psi + n2 - events);
  const c = psi * (n1 + 1) * (events + 1);
  const root = Math.sqrt(Math.max(0, b * b - 4 * a * c));
  const mode = Math.floor((2 * c) / (-b + root));
  return Number.isFinite(mode) ? mode : theta > 0 ? n1 : 0;
}
