/**
 * The log-likelihood of one count as a function of its linear predictor η: writes value, slope and curvature
 * to `out`. Concave in η for every model here, which is what makes the searches safe.
 */
export type LikelihoodTerm = (eta: number, out: Float64Array) => void;

// Beyond this exponentials leave the range in which sums of squares still are numbers.
const etaLimit = 300;
const clamp = (eta: number): number => Math.min(Math.max(eta, -etaLimit), etaLimit);

/** Binomial count, η the log odds. */
export function binomialLogitTerm(events: number, total: number): LikelihoodTerm {
  return (eta, out) => {
    const small = Math.exp(-Math.abs(eta));
    const p = eta >= 0 ? 1 / (1 + small) : small / (1 + small);
    out[0] = events * eta - total * (Math.max(eta, 0) + Math.log1p(small));
    out[1] = events - total * p;
    out[2] = (-total * small) / (1 + small) ** 2;
  };
}

/** Binomial count, η = ln(−ln(1 − p)), the complementary log-log. */
export function binomialComplementaryLogLogTerm(events: number, total: number): LikelihoodTerm {
  return (eta, out) => {
    const hazard = Math.exp(clamp(eta));
    const without = (total - events) * hazard;
    out[0] = -without;
    out[1] = -without;
    out[2] = -without;
    if (events === 0) return;
    const grown = Math.expm1(hazard);
    // hazard / (e^hazard − 1) and its slope in hazard; below 0.03 by series, where the quotient would cancel.
    const ratio = Number.isFinite(grown) ? hazard / grown : 0;
    const square = hazard * hazard;
    const slope =
      hazard < 0.03
        ? -1 / 2 + hazard / 6 - (hazard * square) / 180 + (hazard * square * square) / 5040
        : Number.isFinite(grown)
          ? (1 - hazard - ratio) / grown
          : 0;
    out[0] += events * Math.log(-Math.expm1(-hazard));
    out[1] += events * ratio;
    out[2] += events * hazard * slope;
  };
}

/** Poisson count over an exposure, η the log rate per unit of exposure. */
export function poissonLogTerm(events: number, exposure: number): LikelihoodTerm {
  return (eta, out) => {
    const expected = exposure * Math.exp(clamp(eta));
    out[0] = events * eta - expected;
    out[1] = events - expected;
    out[2] = -expected;
  };
}
