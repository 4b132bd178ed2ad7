import { z } from 'zod';
import { isCalendarDate } from './cells.ts';
import { scoreValueTypes } from './sheets/scoresSheet.ts';
import { studyDesigns } from './sheets/studiesSheet.ts';
import { pooledSites } from './site.ts';

// The words of the analysis options. The stages that use them keep lists of their own, because this
// stage comes first and imports none of them; a test checks that the lists agree.
export const protocolModels = ['random-effects', 'common-effect'] as const;
export const protocolVarianceEstimators = ['dersimonian-laird'] as const;
export const protocolMeanIntervals = ['wald', 'hartung-knapp'] as const;
export const protocolPredictionIntervals = ['t-k-minus-2'] as const;
export const protocolRateScales = ['raw', 'logit', 'log', 'arcsine', 'double-arcsine'] as const;
export const protocolStudyIntervals = ['wilson', 'clopper-pearson', 'jeffreys', 'agresti-coull'] as const;

/** Where a tenodesis in the middle of the groove is counted: the literature has three ways. */
export const midGrooveRules = ['with-top-of-groove', 'with-suprapectoral', 'split-by-half'] as const;
export type MidGrooveRule = (typeof midGrooveRules)[number];

/** Which report of a cohort counts when several give the outcome. */
export const overlapRules = ['largest', 'latest', 'primary-report'] as const;
export type OverlapRule = (typeof overlapRules)[number];

/** Which time point of an arm counts when several lie in the window. */
export const timePointPreferences = ['longest', 'closest-to-target'] as const;
export type TimePointPreference = (typeof timePointPreferences)[number];

const words = z.string().trim().min(1);
const id = z.string().regex(/^[\p{L}\p{N}][\p{L}\p{N}._-]{0,59}$/u, 'a short name without spaces');
const months = z.number().min(0).max(600);
const oneOf = <const Values extends readonly [string, ...string[]]>(values: Values) => z.enum(values);

const windowMonths = z
  .strictObject({ minimum: months, maximum: months })
  .refine((window) => window.minimum <= window.maximum, 'a window whose minimum is not above its maximum');

const outcomeBase = {
  id,
  name: words,
  /** What the outcome is, for a reader. */
  description: words.optional(),
  better: oneOf(['lower', 'higher']),
  /** Time points outside are not used; without a window every time point may be. */
  windowMonths: windowMonths.optional(),
  prefer: oneOf(timePointPreferences),
  /** Wanted by `closest-to-target`. */
  targetMonths: months.optional(),
};

const eventsOutcome = z.strictObject({
  ...outcomeBase,
  kind: z.literal('events'),
  /** Definitions accepted, best first. `not reported` may be one of them. */
  definitions: z.array(words).min(1),
  /** Assessors accepted, best first. `not reported` may be one of them. */
  assessors: z.array(words).min(1),
  /** Who could have had the event. */
  denominator: words,
  /** Differences in events per 100 shoulders that would matter to a patient. */
  thresholdsPer100: z.strictObject({
    materialDifference: z.number().positive().max(100),
    moderateDifference: z.number().positive().max(100).optional(),
    largeDifference: z.number().positive().max(100).optional(),
    source: words,
  }),
});

const scoreOutcome = z.strictObject({
  ...outcomeBase,
  kind: z.literal('score'),
  /** Scales accepted, best first, by id. */
  scales: z.array(id).min(1),
  /** Kinds of value accepted, best first. */
  valueTypes: z.array(oneOf(scoreValueTypes)).min(1),
  /** Differences in points of the first scale that would matter to a patient. */
  thresholdsPoints: z.strictObject({ materialDifference: z.number().positive(), source: words }),
});

const scale = z.strictObject({
  id,
  name: words,
  better: oneOf(['lower', 'higher']),
  unit: words.optional(),
  /** Ranges in use, the one for analysis first: a pain line is read on 0 to 10 and on 0 to 100. */
  ranges: z
    .array(
      z
        .strictObject({ minimum: z.number(), maximum: z.number() })
        .refine((range) => range.minimum < range.maximum, 'a range whose minimum lies below its maximum'),
    )
    .min(1),
});

/** Nothing is added to a zero cell unless the protocol says so. */
const zeroEvents = z.union([
  z.literal('leave-out'),
  z.strictObject({ addToEachCell: z.number().positive().max(1) }),
]);

const analysis = z.strictObject({
  model: oneOf(protocolModels),
  betweenStudyVariance: oneOf(protocolVarianceEstimators),
  interval: oneOf(protocolMeanIntervals),
  prediction: oneOf(protocolPredictionIntervals),
  rateScale: oneOf(protocolRateScales),
  /** Required, without default, so that nobody gets a correction unasked. */
  zeroEvents,
  studyInterval: oneOf(protocolStudyIntervals),
  /** Coverage of every interval, such as 0.95. */
  level: z.number().gt(0.5).lt(1),
});

/**
 * What a review decided before it saw results: protocol.json.
 *
 * Unknown keys are errors, so that a misspelt decision is never a silent default.
 */
export const protocolSchema = z.strictObject({
  title: words,
  /** True for made-up data; every page then carries the notice. */
  inventedData: z.boolean(),
  notice: words.optional(),
  question: words,
  population: words,
  lastSearch: z
    .string()
    .refine(
      (value) => /^\d{4}-\d{2}-\d{2}$/.test(value) && isCalendarDate(value),
      'a date such as 2026-06-30',
    ),
  /** Order in which sites are shown. */
  sites: z.array(oneOf(pooledSites)).min(1),
  siteRule: z.strictObject({ midGroove: oneOf(midGrooveRules) }),
  overlapRule: oneOf(overlapRules),
  /** Designs that count; without it all do. */
  designs: z.array(oneOf(studyDesigns)).min(1).optional(),
  outcomes: z.array(z.discriminatedUnion('kind', [eventsOutcome, scoreOutcome])).min(1),
  scales: z.array(scale),
  analysis,
});

export type Protocol = z.output<typeof protocolSchema>;
export type ProtocolOutcome = Protocol['outcomes'][number];
export type EventsOutcome = Extract<ProtocolOutcome, { kind: 'events' }>;
export type ScoreOutcome = Extract<ProtocolOutcome, { kind: 'score' }>;
export type ProtocolScale = Protocol['scales'][number];
export type SiteRule = Protocol['siteRule'];
export type WindowMonths = NonNullable<EventsOutcome['windowMonths']>;
