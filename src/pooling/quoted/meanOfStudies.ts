/** The mean over studies with its derivatives in the mean `a` and the deviation `s` of their log odds. */
export interface MeanOfStudies {
  /** Mean of the studies' rates, and of their complements. */
  rate: number;
  rest: number;
  inMean: number;
  inDeviation: number;
  inMeanTwice: number;
  mixed: number;
  inDeviationTwice: number;
}

const widestStep = 0.6;
/** How far out, in deviations: nine beyond where the mean of a rare event gathers most of its weight. */
const furthest = 9;

/**
 * What is the mean of the studies' rates, when their log odds are normal with mean `a` and deviation `s`?
 *
 * `∫ p(a + s·z) φ(z) dz` with `p(θ) = 1/(1 + e^−θ)`, and its derivatives, by the trapezoidal rule: the logistic
 * curve has its nearest pole at `π/s`, so that a step of `0.6/max(1, s)` leaves errors near rounding. The complement
 * is summed as well, so that neither end loses digits.
 *
 * Source: Trefethen LN, Weideman JAC, SIAM Rev 2014;56:385-458, theorem 5.1.
 *
 * @example
 * meanOfStudies(-3, 1).rate // 0.0727, where the median study has 0.0474
 */
export function meanOfStudies(a: number, s: number, out: MeanOfStudies = emptyMean()): MeanOfStudies {
  const step = widestStep / Math.max(1, s);
  const points = Math.ceil((furthest + Math.min(s, Math.abs(a) / Math.max(s, 1e-300))) / step);
  const up = Math.exp(s * step);
  let rate = 0;
  let rest = 0;
  let inMean = 0;
  let inDeviation = 0;
  let inMeanTwice = 0;
  let mixed = 0;
  let inDeviationTwice = 0;
  const decay = Math.exp(-step * step);
  // From the middle outwards on both sides: e^−θ and the normal density run along by multiplication.
  for (const direction of [1, -1] as const) {
    const factor = direction > 0 ? 1 / up : up;
    let odds = Math.exp(-a);
    let density = step / Math.sqrt(2 * Math.PI);
    let ratio = Math.exp(-0.5 * step * step);
    if (direction < 0) {
      odds *= factor;
      density *= ratio;
      ratio *= decay;
    }
    for (let j = direction < 0 ? 1 : 0; j <= points; j++) {
      const z = direction * j * step;
      const q = odds === Number.POSITIVE_INFINITY ? 1 : odds / (1 + odds);
      const p = 1 / (1 + odds);
      const wp = density * p;
      const wpq = wp * q;
      const slope = wpq * (q - p);
      rate += wp;
      rest += density * q;
      inMean += wpq;
      inDeviation += wpq * z;
      inMeanTwice += slope;
      mixed += slope * z;
      inDeviationTwice += slope * z * z;
      odds *= factor;
      density *= ratio;
      ratio *= decay;
    }
  }
  out.rate = rate;
  out.rest = rest;
  out.inMean = inMean;
  out.inDeviation = inDeviation;
  out.inMeanTwice = inMeanTwice;
  out.mixed = mixed;
  out.inDeviationTwice = inDeviationTwice;
  return out;
}

export const emptyMean = (): MeanOfStudies => ({
  rate: 0,
  rest: 0,
  inMean: 0,
  inDeviation: 0,
  inMeanTwice: 0,
  mixed: 0,
  inDeviationTwice: 0,
});

/**
 * The mean of the log odds at which studies with deviation `s` have a mean rate with log odds `target`.
 *
 * The log odds of the mean rate rise with `a`, with a slope between that of the mean's own and 1: Newton steps from
 * `a = target`, or from a guess.
 */
export function meanLogOddsFor(target: number, s: number, out: MeanOfStudies, guess = target): number {
  let a = guess;
  let low = Number.NEGATIVE_INFINITY;
  let high = Number.POSITIVE_INFINITY;
  for (let iteration = 0; iteration < 200; iteration++) {
    meanOfStudies(a, s, out);
    const off = Math.log(out.rate / out.rest) - target;
    if (off > 0) high = a;
    else low = a;
    let next = a - (off * out.rate * out.rest) / out.inMean;
    if (!(next >= low && next <= high)) {
      next = Number.isFinite(low) && Number.isFinite(high) ? 0.5 * (low + high) : off > 0 ? a - 2 : a + 2;
    }
    const step = Math.abs(next - a);
    a = next;
    // Quadratic: after a step this small the next would be below rounding, and so are the changes of the derivatives.
    if (step <= 1e-9 * (1 + Math.abs(a))) break;
  }
  meanOfStudies(a, s, out);
  return a;
}
