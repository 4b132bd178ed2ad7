/**
 * What are the coefficients of the product of two polynomials whose coefficients, in logarithms, are these?
 *
 * For log-concave sequences the terms of each sum rise to one peak and fall: the peak is followed from one
 * coefficient to the next and the sum runs outwards from it until terms no longer count (below 1e-18 of the
 * peak). Everything stays in logarithms, so that coefficients of any size keep full relative precision.
 *
 * @example
 * convolveLogConcave(Float64Array.of(0, 0), Float64Array.of(0, 0)); // ln 1, ln 2, ln 1
 */
export function convolveLogConcave(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(a.length + b.length - 1);
  let peak = 0;
  for (let k = 0; k < out.length; k++) {
    const first = Math.max(0, k - b.length + 1);
    const last = Math.min(a.length - 1, k);
    peak = Math.min(Math.max(peak, first), last);
    let top = a[peak]! + b[k - peak]!;
    for (let next = peak + 1; next <= last && a[next]! + b[k - next]! >= top; next++) {
      peak = next;
      top = a[next]! + b[k - next]!;
    }
    for (let next = peak - 1; next >= first && a[next]! + b[k - next]! > top; next--) {
      peak = next;
      top = a[next]! + b[k - next]!;
    }
    let sum = 1;
    for (let j = peak + 1; j <= last; j++) {
      const term = Math.exp(a[j]! + b[k - j]! - top);
      if (term < 1e-18) break;
      sum += term;
    }
    for (let j = peak - 1; j >= first; j--) {
      const term = Math.exp(a[j]! + b[k - j]! - top);
      if (term < 1e-18) break;
      sum += term;
    }
    out[k] = top + Math.log(sum);
  }
  return out;
}
