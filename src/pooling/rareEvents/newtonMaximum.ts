/** A function's value, with its gradient and its Hessian (row by row) written to the arrays given. */
export type ValueGradientHessian = (x: Float64Array, gradient: Float64Array, hessian: Float64Array) => number;

/** Where a maximum was found, or how far the search came. */
export interface NewtonSearch {
  readonly at: Float64Array;
  readonly value: number;
  readonly gradient: Float64Array;
  readonly hessian: Float64Array;
  readonly iterations: number;
  readonly converged: boolean;
}

/**
 * Where does a smooth function of a few variables have its maximum, when its slopes and curvatures are known?
 *
 * Newton steps; where the Hessian is not negative definite, or a step does not lead up, it is tilted towards
 * the gradient (a multiple of the identity is taken off) and the step shortened. Ends when the rise still to
 * be had, half of `gᵀ(−H)⁻¹g`, is below `tolerance`, or when steps stop shrinking at rounding.
 *
 * Source: Nocedal J, Wright SJ, Numerical Optimization, 2nd ed. 2006, sections 3.4 and 6.1.
 *
 * @param options `tolerance` default 1e-22, `iterations` default 100, `longestStep` per variable default 2
 *
 * @example
 * newtonMaximum((x, g, h) => { g[0] = -2 * x[0]; h[0] = -2; return -(x[0] ** 2); }, [3]).at[0]; // 0
 */
export function newtonMaximum(
  evaluate: ValueGradientHessian,
  start: ArrayLike<number>,
  options: { readonly tolerance?: number; readonly iterations?: number; readonly longestStep?: number } = {},
): NewtonSearch {
  const { tolerance = 1e-22, iterations = 100, longestStep = 2 } = options;
  const size = start.length;
  const at = Float64Array.from(start);
  const gradient = new Float64Array(size);
  const hessian = new Float64Array(size * size);
  const trial = new Float64Array(size);
  const trialGradient = new Float64Array(size);
  const trialHessian = new Float64Array(size * size);
  let value = evaluate(at, gradient, hessian);
  let previousRise = Infinity;
  for (let iteration = 1; iteration <= iterations; iteration++) {
    const { step, ridge } = ascentStep(gradient, hessian);
    let rise = 0;
    for (let i = 0; i < size; i++) rise += gradient[i]! * step[i]!;
    const done = ridge === 0 && (rise <= tolerance || (rise < 1e-14 && rise >= previousRise / 4));
    if (done) return { at, value, gradient, hessian, iterations: iteration, converged: true };
    // A saddle: flat, yet not a maximum.
    if (ridge > 0 && rise < 1e-12) break;
    previousRise = rise;
    let longest = 0;
    for (let i = 0; i < size; i++) longest = Math.max(longest, Math.abs(step[i]!));
    let length = longest > longestStep ? longestStep / longest : 1;
    // Closer than rounding lets values be told apart, the slopes alone decide.
    const close = ridge === 0 && rise < 1e-7;
    let trialValue = Number.NaN;
    for (let halving = 0; halving < 20; halving++) {
      for (let i = 0; i < size; i++) trial[i] = at[i]! + length * step[i]!;
      trialValue = evaluate(trial, trialGradient, trialHessian);
      if (close ? Number.isFinite(trialValue) : trialValue >= value + 1e-4 * length * rise) break;
      length /= 2;
      trialValue = Number.NaN;
    }
    if (Number.isNaN(trialValue)) break;
    at.set(trial);
    gradient.set(trialGradient);
    hessian.set(trialHessian);
    value = trialValue;
  }
  return { at, value, gradient, hessian, iterations, converged: false };
}

/** A step that leads up: `(−H + ridge·I)⁻¹ g` with the smallest ridge tried that makes it one. */
function ascentStep(gradient: Float64Array, hessian: Float64Array): { step: Float64Array; ridge: number } {
  const size = gradient.length;
  let scale = 0;
  for (let i = 0; i < size; i++) scale = Math.max(scale, Math.abs(hessian[i * size + i]!));
  let ridge = 0;
  while (ridge < 1e200) {
    const factor = choleskyOfNegative(hessian, size, ridge);
    if (factor) return { step: solveCholesky(factor, gradient), ridge };
    ridge = ridge === 0 ? Math.max(1e-6 * scale, 1e-10) : ridge * 4;
  }
  // Slopes or curvatures that are not numbers: no step, and the search ends as not converged.
  return { step: new Float64Array(size), ridge };
}

/** Lower Cholesky factor of `−H + ridge·I`, or undefined when that is not positive definite. */
export function choleskyOfNegative(
  hessian: Float64Array,
  size: number,
  ridge: number,
): Float64Array | undefined {
  const factor = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = -hessian[i * size + j]!;
      if (i === j) sum += ridge;
      const diagonal = sum;
      for (let k = 0; k < j; k++) sum -= factor[i * size + k]! * factor[j * size + k]!;
      if (i === j) {
        if (!(sum > 1e-13 * Math.abs(diagonal))) return undefined;
        factor[i * size + i] = Math.sqrt(sum);
      } else {
        factor[i * size + j] = sum / factor[j * size + j]!;
      }
    }
  }
  return factor;
}

/** `(LLᵀ)⁻¹ b`. */
export function solveCholesky(factor: Float64Array, right: ArrayLike<number>): Float64Array {
  const size = right.length;
  const x = Float64Array.from(right);
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) x[i]! -= factor[i * size + k]! * x[k]!;
    x[i]! /= factor[i * size + i]!;
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let k = i + 1; k < size; k++) x[i]! -= factor[k * size + i]! * x[k]!;
    x[i]! /= factor[i * size + i]!;
  }
  return x;
}

/** Inverse of `−H`, the covariance matrix at a maximum, over the variables kept; undefined when there is none. */
export function covarianceOf(
  hessian: Float64Array,
  size: number,
  keep: readonly number[],
): Float64Array | undefined {
  const kept = new Float64Array(keep.length ** 2);
  keep.forEach((row, i) => {
    keep.forEach((column, j) => {
      kept[i * keep.length + j] = hessian[row * size + column]!;
    });
  });
  const factor = choleskyOfNegative(kept, keep.length, 0);
  if (!factor) return undefined;
  const inverse = new Float64Array(kept.length);
  for (let j = 0; j < keep.length; j++) {
    const unit = new Float64Array(keep.length);
    unit[j] = 1;
    const column = solveCholesky(factor, unit);
    for (let i = 0; i < keep.length; i++) inverse[i * keep.length + j] = column[i]!;
  }
  return inverse;
}
