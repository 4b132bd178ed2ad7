import { halfLogTwoPi, stirlingSeries } from './stirlingSeries.ts';

/**
 * Logarithm of the gamma function for x > 0, to the last digits everywhere, its roots at 1 and 2 included.
 *
 * From 16 on Stirling's series (NIST DLMF 5.11.1); below, the factors of gamma(x + 1) = x gamma(x) lead to
 * 1.5 .. 2.5, where the Taylor series about 2 (DLMF 5.7.3, written for 2 + z) converges fast.
 */
export function logGammaOf(x: number): number {
  if (x >= 16) return (x - 0.5) * Math.log(x) - x + halfLogTwoPi + stirlingSeries(x);
  if (x < 0.5) return aboutTwo(x) - Math.log(x * (1 + x));
  if (x < 1.5) return aboutTwo(x - 1) - Math.log1p(x - 1);
  let product = 1;
  let reduced = x;
  while (reduced > 2.5) {
    reduced -= 1;
    product *= reduced;
  }
  const rest = aboutTwo(reduced - 2);
  return product === 1 ? rest : Math.log(product) + rest;
}

/** log(gamma(2 + z)) for -0.5 <= z <= 0.5. */
function aboutTwo(z: number): number {
  let sum = 0;
  for (let k = taylor.length - 1; k >= 0; k -= 1) sum = (sum + taylor[k]!) * z;
  return sum;
}

/** 1 - Euler's constant, then (-1)^k (zeta(k) - 1) / k from k = 2. */
const taylor = [
  0.42278433509846713, 0.3224670334241132, -0.0673523010531981, 0.020580808427784546, -0.007385551028673986,
  0.0028905103307415234, -0.001192753911703261, 0.0005096695247430425, -0.00022315475845357939,
  9.945751278180853e-5, -4.492623673813314e-5, 2.050721277567069e-5, -9.439488275268397e-6,
  4.374866789907488e-6, -2.039215753801366e-6, 9.55141213040742e-7, -4.492469198764566e-7,
  2.1207184805554665e-7, -1.0043224823968099e-7, 4.7698101693639804e-8, -2.2711094608943164e-8,
  1.0838659214896955e-8, -5.183475041970047e-9, 2.4836745438024785e-9, -1.1921401405860912e-9,
  5.731367241678862e-10, -2.7595228851242334e-10, 1.330476437424449e-10,
];
