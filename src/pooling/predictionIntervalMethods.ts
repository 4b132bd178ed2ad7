import type { PooledSample, WeightedMean } from './pooledSample.ts';
import type { BootstrapOptions, PredictionIntervalMethod } from './poolOptions.ts';
import { bootstrapPrediction } from './predictionIntervals/bootstrap.ts';
import {
  hartungKnappKMinusOne,
  hartungKnappPrediction,
  studentKMinusOne,
  studentKMinusTwo,
} from './predictionIntervals/studentPrediction.ts';

/** One way to say where the next study's true value may lie. */
export interface PredictionMethod {
  readonly id: PredictionIntervalMethod;
  /** As printed in a methods sentence. */
  readonly name: string;
  readonly source: string;
  /** Distances from the mean down and up to the limits; undefined where the method has no answer. */
  readonly reach: (
    sample: PooledSample,
    mean: WeightedMean,
    level: number,
    bootstrap: BootstrapOptions | undefined,
  ) => PredictionReach | undefined;
}

export interface PredictionReach {
  readonly below: number;
  readonly above: number;
}

/** Every prediction interval, by id. To add one: a file, its id in `predictionIntervals`, a line here. */
export const predictionIntervalMethods: Readonly<Record<PredictionIntervalMethod, PredictionMethod>> = {
  't-k-minus-2': studentKMinusTwo,
  't-k-minus-1': studentKMinusOne,
  'hartung-knapp': hartungKnappPrediction,
  't-k-minus-1-hartung-knapp': hartungKnappKMinusOne,
  bootstrap: bootstrapPrediction,
};
