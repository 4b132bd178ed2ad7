/**
 * Upper tail of the standard normal distribution.
 *
 * Rational approximations of Cody WJ, Math Comp 1969;23:631-638, with the coefficients (rounded to doubles) of his algorithm 715
 * (ACM TOMS 1993;19:22-32), section ANORM. The exponential is split in two so that a far tail keeps its digits.
 */
export function normalTail(x: number): number {
  const size = Math.abs(x);
  if (size <= 0.67448975) {
    const s = size > 1.11e-16 ? x * x : 0;
    let top = 0.06568233791820745 * s;
    let bottom = s;
    for (let i = 0; i < 3; i += 1) {
      top = (top + near.top[i]!) * s;
      bottom = (bottom + near.bottom[i]!) * s;
    }
    return 0.5 - (x * (top + near.top[3]!)) / (bottom + near.bottom[3]!);
  }
  const tail = size <= Math.sqrt(32) ? middleTail(size) : farTail(size);
  return x > 0 ? tail : 1 - tail;
}

function middleTail(size: number): number {
  let top = 1.0765576773720192e-8 * size;
  let bottom = size;
  for (let i = 0; i < 7; i += 1) {
    top = (top + middle.top[i]!) * size;
    bottom = (bottom + middle.bottom[i]!) * size;
  }
  return bell(size) * ((top + middle.top[7]!) / (bottom + middle.bottom[7]!));
}

function farTail(size: number): number {
  if (size > 40) return 0;
  const s = 1 / (size * size);
  let top = 0.023073441764940174 * s;
  let bottom = s;
  for (let i = 0; i < 4; i += 1) {
    top = (top + far.top[i]!) * s;
    bottom = (bottom + far.bottom[i]!) * s;
  }
  const correction = (s * (top + far.top[4]!)) / (bottom + far.bottom[4]!);
  return (bell(size) * (0.3989422804014327 - correction)) / size;
}

/** exp(-x^2 / 2): x is cut to sixteenths first, whose square is exact. */
function bell(size: number): number {
  const cut = Math.trunc(size * 16) / 16;
  return Math.exp(-cut * cut * 0.5) * Math.exp(-(size - cut) * (size + cut) * 0.5);
}

const near = {
  top: [2.2352520354606837, 161.02823106855587, 1067.6894854603709, 18154.98125334356],
  bottom: [47.202581904688245, 976.0985517377767, 10260.932208618979, 45507.78933502673],
};
const middle = {
  top: [
    0.39894151208813466, 8.883149794388377, 93.50665613217785, 597.2702763948002, 2494.5375852903726,
    6848.190450536283, 11602.65143764735, 9842.714838383978,
  ],
  bottom: [
    22.266688044328117, 235.387901782625, 1519.3775994075547, 6485.558298266761, 18615.571640885097,
    34900.95272114598, 38912.00328609327, 19685.429676859992,
  ],
};
const far = {
  top: [
    0.215898534057957, 0.12740116116024736, 0.022235277870649807, 0.0014216191932278934,
    0.000029112874951168793,
  ],
  bottom: [
    1.284260096144911, 0.4682382124808651, 0.06598813786892856, 0.0037823963320275824, 0.00007297515550839662,
  ],
};
