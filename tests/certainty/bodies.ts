// Bodies of evidence made up for tests: nothing but the numbers a domain looks at.

import type { BodyOfEvidence, StudyPart } from '../../src/certainty/bodyOfEvidence.ts';
import type { CertaintyEvidence } from '../../src/certainty/domainProposal.ts';
import type { ConcernReading } from '../../src/certainty/quality/concern.ts';
import type { StudyQuality } from '../../src/certainty/quality/studyQuality.ts';
import { absoluteEffect, type RelativeEffect } from '../../src/effects/absoluteEffect.ts';
import type { EventsOutcome } from '../../src/extraction/protocol.ts';

export const outcome: EventsOutcome = {
  id: 'deformity',
  name: 'Cosmetic deformity',
  kind: 'events',
  better: 'lower',
  definitions: ['visible bulge'],
  assessors: ['examiner'],
  prefer: 'longest',
  denominator: 'all',
  thresholdsPer100: { materialDifference: 5, moderateDifference: 10, largeDifference: 20, source: 'made up' },
};

export const parts = (count: number, weights?: readonly number[]): readonly StudyPart[] =>
  Array.from({ length: count }, (_, at) => ({
    study: `study-${at}`,
    label: `Study ${at}`,
    arm: undefined,
    site: undefined,
    weight: weights?.[at] ?? 1 / count,
    interval: { lower: -1, upper: 1, level: 0.95 },
  }));

export const bodyOf = (change: Partial<BodyOfEvidence> = {}): BodyOfEvidence => ({
  design: 'randomised trials',
  outcome,
  studies: 4,
  shoulders: 1000,
  events: 100,
  notInNumber: [],
  estimate: { value: -8, lower: -10, upper: -6 },
  prediction: undefined,
  trueSpread: undefined,
  betweenStudyDeviation: 0,
  parts: parts(4),
  arms: [],
  relative: undefined,
  absolute: [],
  rows: [],
  ...change,
});

/** A comparison with a relative effect said at one baseline. */
export const comparisonBody = (
  relative: RelativeEffect,
  baseline: number,
  change: Partial<BodyOfEvidence> = {},
): BodyOfEvidence => {
  const absolute = absoluteEffect(relative, baseline, 'stated');
  const { value, lower, upper } = absolute.difference;
  return bodyOf({
    estimate: { value: 100 * value, lower: 100 * lower, upper: 100 * upper },
    relative,
    absolute: [absolute],
    ...change,
  });
};

export const qualityOf = (concerns: readonly ConcernReading[]): readonly StudyQuality[] =>
  concerns.map((concern, at) => ({
    study: `study-${at}`,
    label: `Study ${at}`,
    design: 'randomised trial',
    judgement: undefined,
    others: [],
    concern,
  }));

export const rateQuestion = { kind: 'rate', outcome: 'deformity', site: 'subpectoral' } as const;
export const comparisonQuestion = {
  kind: 'comparison',
  outcome: 'deformity',
  site: 'subpectoral',
  comparator: 'tenotomy',
} as const;

export const evidenceOf = (change: Partial<CertaintyEvidence> = {}): CertaintyEvidence => ({
  question: comparisonQuestion,
  body: bodyOf(),
  quality: qualityOf(['low concern', 'low concern', 'low concern', 'low concern']),
  smallStudies: [],
  missing: undefined,
  differences: [],
  ...change,
});
