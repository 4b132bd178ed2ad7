import type { PooledSample } from '../pooledSample.ts';

/** Sum of squared distances of the values from their plain average. */
export function unweightedScatter(sample: PooledSample): number {
  const { count, distances } = sample;
  let sum = 0;
  for (let i = 0; i < count; i++) sum += distances[i]!;
  const average = sum / count;
  let squares = 0;
  for (let i = 0; i < count; i++) squares += (distances[i]! - average) ** 2;
  return squares;
}
