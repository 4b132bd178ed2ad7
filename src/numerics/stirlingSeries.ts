/** log(2 pi) / 2. */
export const halfLogTwoPi = 0.9189385332046727;

/** The correction to Stirling's formula for log(gamma(n + 1)), n from 16 on (NIST DLMF 5.11.1). */
export function stirlingSeries(n: number): number {
  const s = 1 / (n * n);
  return (
    (1 / 12 -
      s * (1 / 360 - s * (1 / 1260 - s * (1 / 1680 - s * (1 / 1188 - s * (691 / 360360 - s / 156)))))) /
    n
  );
}
