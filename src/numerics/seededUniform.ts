import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/**
 * Where do reproducible random numbers come from?
 *
 * @param seed a whole number; the same seed gives the same stream on every machine.
 * @returns a function giving the next number strictly between 0 and 1
 * @throws RangeError when the seed is not a whole number
 * @example
 * const next = seededUniform(1);
 * next();
 */
export function seededUniform(seed: number): () => number {
  if (!Number.isInteger(seed)) throw new RangeError(`seed must be a whole number, received ${seed}`);
  const generator = xoroshiro128plus(seed);
  return () => {
    for (;;) {
      const value = uniformFloat64(generator);
      if (value > 0) return value;
    }
  };
}
