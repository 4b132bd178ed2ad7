/** Points of the 15-point Kronrod rule on -1 to 1, ascending. */
export const kronrodNodes: readonly number[] = mirror(
  [
    0.991455371120812639206854697526329, 0.949107912342758524526189684047851,
    0.864864423359769072789712788640926, 0.741531185599394439863864773280788,
    0.58608723546769113029414469125838, 0.405845151377397166906606412076961,
    0.207784955007898467600689403773245,
  ],
  0,
  -1,
);

/** Weights of the 15-point Kronrod rule. Source: Piessens et al., QUADPACK, 1983, routine QK15. */
export const kronrodWeights: readonly number[] = mirror(
  [
    0.02293532201052922496373200805897, 0.063092092629978553290700663189204,
    0.104790010322250183839876322541518, 0.140653259715525918745189590510238,
    0.16900472663926790282658342659855, 0.190350578064785409913256402421014,
    0.204432940075298892414161999234649,
  ],
  0.209482141084727828012999174891714,
  1,
);

/** Weights of the 7-point Gauss rule nested in it, 0 at the points it does not use. */
export const nestedGaussWeights: readonly number[] = mirror(
  [0, 0.129484966168869693270611432679082, 0, 0.27970539148927666790146777142378, 0, 0.381830050505118944950369775488975, 0],
  0.417959183673469387755102040816327,
  1,
);

/** Points in each panel. */
export const panelPoints = 15;

function mirror(outerToInner: readonly number[], middle: number, sign: 1 | -1): number[] {
  return [...outerToInner.map((value) => sign * value), middle, ...[...outerToInner].reverse()];
}

let inverseVandermonde: Float64Array | undefined;

/**
 * Which polynomial of degree 14, in Legendre polynomials, passes through values at the Kronrod points?
 *
 * @param values 15 values, from `offset` on
 * @returns 15 Legendre coefficients
 */
export function legendreCoefficients(values: ArrayLike<number>, offset = 0): Float64Array {
  inverseVandermonde ??= invertVandermonde();
  const coefficients = new Float64Array(panelPoints);
  for (let row = 0; row < panelPoints; row++) {
    let sum = 0;
    for (let column = 0; column < panelPoints; column++) {
      sum += inverseVandermonde[row * panelPoints + column]! * values[offset + column]!;
    }
    coefficients[row] = sum;
  }
  return coefficients;
}

/** Value at `x` of a sum of Legendre polynomials, and its integral from -1 to `x`. */
export function legendreSum(
  coefficients: Float64Array,
  x: number,
): { readonly value: number; readonly integral: number } {
  let before = 1;
  let current = x;
  let value = coefficients[0]!;
  let integral = coefficients[0]! * (x + 1);
  for (let degree = 1; degree < panelPoints; degree++) {
    const next = ((2 * degree + 1) * x * current - degree * before) / (degree + 1);
    value += coefficients[degree]! * current;
    integral += (coefficients[degree]! * (next - before)) / (2 * degree + 1);
    before = current;
    current = next;
  }
  return { value, integral };
}

// Gauss-Jordan with row exchange on the 15 by 15 matrix of Legendre polynomials at the Kronrod points.
function invertVandermonde(): Float64Array {
  const size = panelPoints;
  const rows = kronrodNodes.map((x, index) => {
    const row = new Float64Array(2 * size);
    row[0] = 1;
    row[1] = x;
    for (let degree = 1; degree + 1 < size; degree++) {
      row[degree + 1] = ((2 * degree + 1) * x * row[degree]! - degree * row[degree - 1]!) / (degree + 1);
    }
    row[size + index] = 1;
    return row;
  });
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let row = column + 1; row < size; row++) {
      if (Math.abs(rows[row]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = row;
    }
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    const top = rows[column]!;
    const divisor = top[column]!;
    for (let entry = 0; entry < 2 * size; entry++) top[entry] = top[entry]! / divisor;
    for (let row = 0; row < size; row++) {
      const factor = rows[row]![column]!;
      if (row === column || factor === 0) continue;
      for (let entry = 0; entry < 2 * size; entry++) rows[row]![entry]! -= factor * top[entry]!;
    }
  }
  const inverse = new Float64Array(size * size);
  for (let row = 0; row < size; row++) inverse.set(rows[row]!.subarray(size), row * size);
  return inverse;
}
