import fc from 'fast-check';
import { rateScales } from '../../../src/effects/analysisScale.ts';
import { midGrooveRules, overlapRules } from '../../../src/extraction/protocol.ts';
import type { Review } from '../../../src/extraction/review.ts';
import { studyDesigns } from '../../../src/extraction/sheets/studiesSheet.ts';
import { pooledSites } from '../../../src/extraction/site.ts';
import {
  meanIntervals,
  poolingModels,
  predictionIntervals,
  varianceEstimators,
} from '../../../src/pooling/poolOptions.ts';
import {
  changeState,
  type LiveChange,
  openingState,
} from '../../../src/publishing/live/state/changeState.ts';
import { countedOutcomes, outcomeOf } from '../../../src/publishing/live/state/choices.ts';
import {
  type LiveChoices,
  type LiveState,
  liveViews,
  qualityRules,
} from '../../../src/publishing/live/state/liveState.ts';
import { vocabularyOf } from '../../../src/publishing/live/state/vocabulary.ts';

const someOf = (words: readonly string[]) => fc.shuffledSubarray([...words], { minLength: 1 });

/** Any choices a reader can make for an outcome. */
function arbitraryChoices(review: Review, outcome: string): fc.Arbitrary<Partial<LiveChoices>> {
  const words = vocabularyOf(review, outcomeOf(review.protocol, outcome));
  return fc.record(
    {
      definitions: someOf(words.definitions),
      assessors: someOf(words.assessors),
      windowMonths: fc.oneof(
        fc.constant(null),
        fc.tuple(fc.integer({ min: 0, max: 600 }), fc.integer({ min: 0, max: 600 })).map(([a, b]) => ({
          minimum: Math.min(a, b),
          maximum: Math.max(a, b),
        })),
      ),
      midGroove: fc.constantFrom(...midGrooveRules),
      overlapRule: fc.constantFrom(...overlapRules),
      designs: fc.subarray([...studyDesigns], { minLength: 1 }),
      quality: fc.constantFrom(...qualityRules),
      model: fc.constantFrom(...poolingModels),
      scale: fc.constantFrom(...rateScales),
      zeroEvents: fc.oneof(
        fc.constant('leave-out' as const),
        fc.constantFrom(0.5, 0.25, 0.1, 1).map((addToEachCell) => ({ addToEachCell })),
      ),
      betweenStudyVariance: fc.constantFrom(...varianceEstimators),
      interval: fc.constantFrom(...meanIntervals),
      prediction: fc.constantFrom(...predictionIntervals.filter((each) => each !== 'bootstrap')),
      level: fc.constantFrom(0.8, 0.9, 0.95, 0.99),
    },
    { requiredKeys: [] },
  );
}

const hostileText = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 60 }),
  fc.constantFrom('0 of 40, under 5 %', '<img onerror=alert(1)>', '&v=2#x=+%', '\ud800 half', '100%'),
);

/** Any change of the page's state, for a state that shows `outcome`. */
export function arbitraryChange(review: Review, state: LiveState): fc.Arbitrary<LiveChange> {
  return fc.oneof(
    arbitraryChoices(review, state.outcome).map((choices): LiveChange => ({ kind: 'choose', choices })),
    fc
      .constantFrom(...countedOutcomes(review.protocol))
      .map(({ id }): LiveChange => ({ kind: 'outcome', outcome: id })),
    fc.constantFrom(...liveViews).map((view): LiveChange => ({ kind: 'view', view })),
    fc
      .record({
        studies: fc.shuffledSubarray(review.studies.map(({ study }) => study)),
        on: fc.boolean(),
      })
      .map((wanted): LiveChange => ({ kind: 'switch', ...wanted })),
    hostileText.map((claim): LiveChange => ({ kind: 'claim', claim })),
    fc.constantFrom(...pooledSites).map((site): LiveChange => ({ kind: 'site', site })),
    fc.constantFrom<LiveChange>({ kind: 'protocol' }, { kind: 'all-studies' }),
  );
}

/** A state up to five changes away from the opening, as a reader could come to it. */
export const stateAfterChanges = (review: Review): fc.Arbitrary<LiveState> =>
  fc.array(fc.nat(), { maxLength: 5 }).map((seeds) =>
    seeds.reduce((state, seed) => {
      const [change] = fc.sample(arbitraryChange(review, state), { numRuns: 1, seed });
      return changeState(review.protocol, state, change!).state;
    }, openingState(review.protocol)),
  );
