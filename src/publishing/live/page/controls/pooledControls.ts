import { type RateScale, rateScales } from '../../../../effects/analysisScale.ts';
import type { ZeroEvents } from '../../../../effects/zeroEvents.ts';
import type { Review } from '../../../../extraction/review.ts';
import { meanIntervalMethods } from '../../../../pooling/meanIntervalMethods.ts';
import {
  type MeanInterval,
  meanIntervals,
  type PoolingModel,
  type PredictionIntervalMethod,
  poolingModels,
  predictionIntervals,
  type VarianceEstimator,
  varianceEstimators,
} from '../../../../pooling/poolOptions.ts';
import { intervalGoesWith } from '../../../../pooling/resolvePoolOptions.ts';
import { varianceEstimatorMethods } from '../../../../pooling/varianceEstimatorMethods.ts';
import { rateScaleNames, zeroEventsName } from '../../../poolingDepartures.ts';
import type { LiveAnalysis } from '../../analysis/analyse.ts';
import type { LiveChange } from '../../state/changeState.ts';
import type { LiveChoices } from '../../state/liveState.ts';
import { element, type Part } from '../element.ts';
import { controlGroup, selectField } from './field.ts';

const modelWords: Readonly<Record<PoolingModel, string>> = {
  'random-effects': 'studies differ: random effects',
  'common-effect': 'studies share one rate: common effect',
};

const predictionWords: Readonly<Record<PredictionIntervalMethod, string>> = {
  't-k-minus-2': "Student's t, k − 2 degrees of freedom",
  't-k-minus-1': "Student's t, k − 1 degrees of freedom",
  'hartung-knapp': "Student's t, k − 2, Hartung-Knapp standard error",
  't-k-minus-1-hartung-knapp': "Student's t, k − 1, Hartung-Knapp standard error",
  bootstrap: 'bootstrap (takes a moment)',
};

const usualAmounts: readonly ZeroEvents[] = ['leave-out', { addToEachCell: 0.5 }];
const usualLevels: readonly number[] = [0.8, 0.9, 0.95, 0.99];

const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const zeroKey = (zero: ZeroEvents): string => (zero === 'leave-out' ? zero : String(zero.addToEachCell));
const percent = (level: number): string => `${Number((100 * level).toPrecision(6))} %`;

/** How the arms that count become one rate a site. */
export function pooledControls(
  review: Review,
  open: boolean,
  change: (change: LiveChange) => void,
): Part<LiveAnalysis> {
  const choose = (choices: Partial<LiveChoices>): void => change({ kind: 'choose', choices });
  const { analysis: plan } = review.protocol;
  const amounts = [plan.zeroEvents, ...usualAmounts].filter(
    (zero, at, all) => all.findIndex((other) => zeroKey(other) === zeroKey(zero)) === at,
  );
  const model = selectField<PoolingModel>('model', 'Do studies differ?', (value) => choose({ model: value }));
  const spread = selectField<VarianceEstimator>('spread', 'How much they differ is estimated by', (value) =>
    choose({ betweenStudyVariance: value }),
  );
  const interval = selectField<MeanInterval>('interval', 'Interval of the pooled rate', (value) =>
    choose({ interval: value }),
  );
  const prediction = selectField<PredictionIntervalMethod>(
    'next-study',
    'Range for the next study',
    (value) => choose({ prediction: value }),
  );
  const scale = selectField<RateScale>('scale', 'Scale on which rates are pooled', (value) =>
    choose({ scale: value }),
  );
  const zero = selectField<string>('no-events', 'Arms in which nobody, or everybody, had it', (value) =>
    choose({ zeroEvents: value === 'leave-out' ? value : { addToEachCell: Number(value) } }),
  );
  const level = selectField<string>('level', 'Confidence of every interval', (value) =>
    choose({ level: Number(value) }),
  );
  return {
    node: controlGroup(
      'How it is pooled',
      open,
      ...[scale, zero, model, spread, interval, prediction, level].map(({ node }) => node),
      element('p', { class: 'why' }, 'The full methods sentence stands at the foot of the page.'),
    ),
    update({ choices }) {
      const common = choices.model === 'common-effect';
      const transformed = choices.scale === 'arcsine' || choices.scale === 'double-arcsine';
      model.update({
        value: choices.model,
        options: poolingModels.map((value) => ({ value, name: modelWords[value] })),
      });
      spread.update({
        value: choices.betweenStudyVariance,
        options: varianceEstimators.map((value) => ({
          value,
          name: capitalised(varianceEstimatorMethods[value].name),
        })),
        unfit: common ? 'With a common effect studies are taken not to differ.' : undefined,
      });
      interval.update({
        value: choices.interval,
        options: meanIntervals.map((value) => ({
          value,
          name: capitalised(meanIntervalMethods[value].name),
          unfit: intervalGoesWith(value, choices.model, choices.betweenStudyVariance)
            ? undefined
            : 'Profile likelihood goes with random effects and the maximum-likelihood method only.',
        })),
      });
      prediction.update({
        value: choices.prediction,
        options: predictionIntervals.map((value) => ({ value, name: predictionWords[value] })),
        unfit: common ? 'With a common effect there is no range for the next study.' : undefined,
      });
      scale.update({
        value: choices.scale,
        options: rateScales.map((value) => ({ value, name: capitalised(rateScaleNames[value]) })),
      });
      const shown = amounts.some((amount) => zeroKey(amount) === zeroKey(choices.zeroEvents))
        ? amounts
        : [...amounts, choices.zeroEvents];
      zero.update({
        value: zeroKey(choices.zeroEvents),
        options: shown.map((amount) => ({
          value: zeroKey(amount),
          name: capitalised(zeroEventsName(amount)),
        })),
        unfit: transformed
          ? 'On the arcsine scales every arm has a value, so nothing is left out or added.'
          : undefined,
      });
      level.update({
        value: String(choices.level),
        options: [...new Set([...usualLevels, plan.level, choices.level])]
          .sort((a, b) => a - b)
          .map((value) => ({ value: String(value), name: percent(value) })),
      });
    },
  };
}
