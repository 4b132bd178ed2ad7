/** Points of the 15-point Kronrod rule on -1 to 1, ascending. */
export const kronrodNodes: readonly number[] = mirror(
  [
    0.9914553711208126, 0.9491079123427585, 0.8648644233597691, 0.7415311855993945, 0.5860872354676911,
    0.4058451513773972, 0.20778495500789848,
  ],
  0,
  -1,
);

/** Weights of the 15-point Kronrod rule. Source: Piessens et al., QUADPACK, 1983, routine QK15. */
export const kronrodWeights: readonly number[] = mirror(
  [
    0.022935322010529224, 0.06309209262997856, 0.10479001032225019, 0.14065325971552592, 0.1690047266392679,
    0.19035057806478542, 0.20443294007529889,
  ],
  0.20948214108472782,
  1,
);

/** Weights of the 7-point Gauss rule nested in it, 0 at the points it does not use. */
export const nestedGaussWeights: readonly number[] = mirror(
  [0, 0.1294849661688697, 0, 0.27970539148927664, 0, 0.3818300505051189, 0],
  0.4179591836734694,
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
