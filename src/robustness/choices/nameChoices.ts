import type { ZeroEvents } from '../../effects/zeroEvents.ts';
import { meanIntervalMethods } from '../../pooling/meanIntervalMethods.ts';
import { varianceEstimatorMethods } from '../../pooling/varianceEstimatorMethods.ts';
import {
  type ChoiceDimensionId,
  type ChoiceGrid,
  choiceDimensionNames,
  choiceDimensions,
} from './choiceGrid.ts';

/** A dimension of the grid in words; the first option is the protocol's own. */
export interface NamedDimension {
  readonly id: ChoiceDimensionId;
  readonly name: string;
  readonly options: readonly string[];
}

const midGrooveWords = {
  'with-top-of-groove': 'with top of groove',
  'with-suprapectoral': 'with suprapectoral',
  'split-by-half': 'split by half',
} as const;

const overlapWords = {
  largest: 'largest report',
  latest: 'latest report',
  'primary-report': 'primary report',
} as const;

const zeroWords = (zeroEvents: ZeroEvents): string =>
  zeroEvents === 'leave-out' ? 'left out' : `${zeroEvents.addToEachCell} added to each cell`;

/** The grid in words, for pictures, tables and sentences. */
export function nameChoices(grid: ChoiceGrid): readonly NamedDimension[] {
  const words: Readonly<Record<ChoiceDimensionId, readonly string[]>> = {
    midGroove: grid.midGroove.map((rule) => midGrooveWords[rule]),
    definition: grid.definition.map(({ name }) => name),
    window: grid.window.map(({ name }) => name),
    inclusion: grid.inclusion.map(({ name }) => name),
    overlap: grid.overlap.map((rule) => overlapWords[rule]),
    scale: grid.scale.map((scale) => (scale === 'raw' ? 'rate as it is' : scale.replace('-', ' '))),
    zeroEvents: grid.zeroEvents.map(zeroWords),
    estimator: grid.estimator.map((estimator) =>
      estimator === 'common-effect'
        ? 'none: common effect'
        : varianceEstimatorMethods[estimator].name.replace(/ method( of moments)?$/, ''),
    ),
    interval: grid.interval.map((interval) => meanIntervalMethods[interval].name),
  };
  return choiceDimensions.map((id) => ({ id, name: choiceDimensionNames[id], options: words[id] }));
}
