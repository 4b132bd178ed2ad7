import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { mersenne } from 'pure-rand/generator/mersenne';

/** Random draws that depend on the seed and a name only, so that adding a study leaves the others as they were. */
export interface DemoRandom {
  uniform(): number;
  normal(): number;
  pick<Value>(values: readonly Value[]): Value;
}

/** 32-bit FNV-1a hash: spreads names over seeds. */
function hashName(name: string): number {
  let hash = 0x811c9dc5;
  for (const character of name) hash = Math.imul(hash ^ (character.codePointAt(0) ?? 0), 0x01000193);
  return hash;
}

export function demoRandom(seed: number, name: string): DemoRandom {
  // The Mersenne twister spreads its seed over its whole state; of generators that do not, the first
  // draws of neighbouring seeds are alike, and every stream here is short.
  const generator = mersenne((seed ^ hashName(name)) | 0);
  const uniform = (): number => uniformFloat64(generator);
  return {
    uniform,
    // Box and Muller 1958; 1 - u keeps the logarithm away from zero.
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
    pick: (values) => {
      const value = values[Math.floor(uniform() * values.length)];
      if (value === undefined) throw new RangeError('values must hold at least one; received none');
      return value;
    },
  };
}
