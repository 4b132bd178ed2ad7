import type { PooledSample, WeightedMean } from './pooledSample.ts';
import type { PredictionIntervalMethod } from './poolOptions.ts';
import { studentKMinusTwo } from './predictionIntervals/studentKMinusTwo.ts';

/** One way to say where the next study's true value may lie. */
export interface PredictionMethod {
  readonly id: PredictionIntervalMethod;
  /** As printed in a methods sentence. */
  readonly name: string;
  readonly source: string;
  /** Distance from the mean to each limit; undefined where the method has no answer. */
  readonly margin: (sample: PooledSample, mean: WeightedMean, level: number) => number | undefined;
}

/** Every prediction interval, by id. To add one: a file, its id in `predictionIntervals`, a line here. */
export const predictionIntervalMethods: Readonly<Record<PredictionIntervalMethod, PredictionMethod>> = {
  't-k-minus-2': studentKMinusTwo,
};
