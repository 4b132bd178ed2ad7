import { z } from 'zod';
import { isCalendarDate } from './cells.ts';
import { protocolCertainty } from './protocolCertainty.ts';
import { scoreValueTypes } from './sheets/scoresSheet.ts';
import { studyDesigns } from './sheets/studiesSheet.ts';
import { pooledSites } from './site.ts';

// The words of the analysis options. The stages that use them keep lists of their own, because this
// stage comes first and imports none of them; a test checks that the lists agree.
export const protocolModels = ['random-effects', 'common-effect'] as const;
export const protocolVarianceEstimators = [
  'dersimonian-laird',
  'two-step-dersimonian-laird',
  'paule-mandel',
  'hedges-olkin',
  'sidik-jonkman',
  'hunter-schmidt',
  'maximum-likelihood',
  'restricted-maximum-likelihood',
  'empirical-bayes',
] as const;
export const protocolMeanIntervals = [
  'wald',
  'student-t',
  'hartung-knapp',
  'truncated-hartung-knapp',
  'profile-likelihood',
  'bartlett-profile-likelihood',
] as const;
export const protocolVarianceIntervals = [
  'q-profile',
  'generalised-q',
  'profile-likelihood',
  'profile-restricted-likelihood',
  'likelihood-wald',
] as const;
export const protocolPredictionIntervals = [
  't-k-minus-2',
  't-k-minus-1',
  'hartung-knapp',
  't-k-minus-1-hartung-knapp',
  'bootstrap',
] as const;
/** Measures by which two sites are compared within a study. */
export const protocolMeasures = ['odds-ratio', 'risk-ratio', 'risk-difference'] as const;
/** Whether trials and other studies of a comparison are pooled apart or as one body. */
export const comparisonBodies = ['apart', 'together'] as const;
export const protocolRateScales = ['raw', 'logit', 'log', 'arcsine', 'double-arcsine'] as const;
export const protocolStudyIntervals = ['wilson', 'clopper-pearson', 'jeffreys', 'agresti-coull'] as const;

export const protocolQuotes = ['by-rule', 'dersimonian-laird'] as const;

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
const per100 = z.number().positive().max(100);
const oneOf = <const Values extends readonly [string, ...string[]]>(values: Values) => z.enum(values);

const day = z
  .string()
  .refine((value) => /^\d{4}-\d{2}-\d{2}$/.test(value) && isCalendarDate(value), 'a date such as 2026-06-30');

const windowMonths = z
  .strictObject({ minimum: months, maximum: months })
  .refine((window) => window.minimum <= window.maximum, 'a window whose minimum is not above its maximum');

/** One definition under one or several names, kept as one text: `Popeye deformity | visible bulge`. */
const definition = z
  .union([words, z.array(words).min(1)])
  .transform((names) => (typeof names === 'string' ? names : names.join(' | ')))
  .pipe(z.string().regex(/^[^|]*[^|\s][^|]*(?:\|[^|]*[^|\s][^|]*)*$/, 'names parted by single bars'));

const outcomeBase = {
  id: id.describe('Short name that events.csv and scores.csv refer to.'),
  name: words.describe('Name as printed.'),
  description: words.optional().describe('What the outcome is, for a reader.'),
  better: oneOf(['lower', 'higher']).describe('Which direction is good for the patient.'),
  windowMonths: windowMonths
    .optional()
    .describe('Time points outside are not used; without a window every time point may be.'),
  prefer: oneOf(timePointPreferences).describe(
    'Which time point of an arm counts when several lie in the window.',
  ),
  targetMonths: months.optional().describe('Months that `closest-to-target` aims at; required with it.'),
};

const eventsOutcome = z.strictObject({
  ...outcomeBase,
  kind: z.literal('events').describe('Counted in events.csv.'),
  definitions: z
    .array(definition)
    .min(1)
    .describe(
      'Definitions accepted, best first. `not reported` may be one of them. Several words for one definition are a list of their own, such as `["Popeye deformity", "visible bulge"]`, or one text parted by ` | `: they share its rank.',
    ),
  assessors: z
    .array(words)
    .min(1)
    .describe('Assessors accepted, best first. `not reported` may be one of them.'),
  denominator: words.describe('Who could have had the event.'),
  thresholdsPer100: z
    .strictObject({
      materialDifference: per100.describe('Smallest difference that matters, in events per 100 shoulders.'),
      moderateDifference: per100.optional().describe('From here on a moderate difference.'),
      largeDifference: per100.optional().describe('From here on a large difference.'),
      source: words.describe('Where the thresholds come from.'),
    })
    .describe('Differences between sites that would matter to a patient.'),
});

const scoreOutcome = z.strictObject({
  ...outcomeBase,
  kind: z.literal('score').describe('Measured in scores.csv.'),
  scales: z.array(id).min(1).describe('Scales accepted, best first, by id.'),
  valueTypes: z.array(oneOf(scoreValueTypes)).min(1).describe('Kinds of value accepted, best first.'),
  thresholdsPoints: z
    .strictObject({
      materialDifference: z
        .number()
        .positive()
        .describe('Smallest difference that matters, in points of the first scale.'),
      source: words.describe('Where the threshold comes from.'),
    })
    .describe('Differences between sites that would matter to a patient.'),
});

const scale = z.strictObject({
  id: id.describe('Short name that scores.csv refers to.'),
  name: words.describe('Name as printed.'),
  better: oneOf(['lower', 'higher']).describe('Which end is good for the patient.'),
  unit: words.optional().describe('Unit as printed.'),
  ranges: z
    .array(
      z
        .strictObject({ minimum: z.number(), maximum: z.number() })
        .refine((range) => range.minimum < range.maximum, 'a range whose minimum lies below its maximum'),
    )
    .min(1)
    .describe('Ranges in use, the one for analysis first: a pain line is read on 0 to 10 and on 0 to 100.'),
});

const zeroEvents = z.union([
  z.literal('leave-out'),
  z.strictObject({ addToEachCell: z.number().positive().max(1) }),
]);

const analysis = z
  .strictObject({
    model: oneOf(protocolModels).describe(
      'Whether studies have true rates of their own around a mean, or share one.',
    ),
    betweenStudyVariance: oneOf(protocolVarianceEstimators).describe(
      'How the variance between studies is estimated.',
    ),
    interval: oneOf(protocolMeanIntervals).describe('Interval of the pooled mean.'),
    varianceInterval: oneOf(protocolVarianceIntervals)
      .optional()
      .describe('Interval of the variance between studies; without it `q-profile`.'),
    prediction: oneOf(protocolPredictionIntervals).describe('Interval for the rate of a new study.'),
    rateScale: oneOf(protocolRateScales).describe('Scale on which rates are pooled.'),
    zeroEvents: zeroEvents.describe(
      'What happens to arms without events (or with events in all): `"leave-out"`, or `{ "addToEachCell": 0.5 }`. There is no default, so that nothing is added unasked.',
    ),
    quoted: oneOf(protocolQuotes)
      .optional()
      .describe(
        'Which number is quoted: `by-rule`, the method that was measured to hold for such counts (without the key), or `dersimonian-laird`, the pool of this section whatever the counts.',
      ),
    studyInterval: oneOf(protocolStudyIntervals).describe("Interval of each study's own rate."),
    level: z.number().gt(0.5).lt(1).describe('Coverage of every interval, such as 0.95.'),
    comparisonMeasure: oneOf(protocolMeasures)
      .optional()
      .describe('Measure by which two sites are compared within studies; without it `odds-ratio`.'),
    comparisonBody: oneOf(comparisonBodies)
      .optional()
      .describe(
        'Whether randomised trials and other studies of a comparison are pooled `apart`, where one of the two answers, or `together` as one body, which starts at low certainty and is named wherever its number stands; without it `apart`.',
      ),
    modelsBeside: z
      .boolean()
      .optional()
      .describe(
        '`true`: common effect and random effects stand side by side, the model that is not quoted beside the answer; without it `false`.',
      ),
  })
  .refine(
    ({ interval, model, betweenStudyVariance }) =>
      !interval.endsWith('profile-likelihood') ||
      (model === 'random-effects' && betweenStudyVariance === 'maximum-likelihood'),
    {
      path: ['interval'],
      message:
        'an interval that goes with the rest: those from the profile likelihood need model "random-effects" and betweenStudyVariance "maximum-likelihood"',
    },
  );

/**
 * What a review decided: protocol.json. Only a protocol that gives `registered` is said to have decided before it saw
 * results.
 *
 * Unknown keys are errors, so that a misspelt decision is never a silent default. The descriptions
 * are the codebook's.
 */
export const protocolSchema = z.strictObject({
  title: words.describe('Title of the review.'),
  inventedData: z.boolean().describe('`true` for made-up data; every page then carries the notice.'),
  notice: words.optional().describe('Sentence every page must carry; required with invented data.'),
  question: words.describe('The clinical question, in one sentence.'),
  population: words.describe('Whose shoulders the review is about.'),
  lastSearch: day.describe('Day of the last search, year first.'),
  registered: z
    .strictObject({
      date: day.describe('Day of the registration, year first.'),
      where: words.describe('Register and number, or the address at which the protocol can be read.'),
    })
    .optional()
    .describe(
      'When and where the protocol was registered or made public, before results were seen. Nothing says that choices came before the results without it.',
    ),
  previousVersion: words
    .optional()
    .describe(
      'Folder of the version before this one, seen from this folder, such as `../mine-2025`; the change report compares with it. Without it a folder `previous` within this one is looked for.',
    ),
  sites: z.array(oneOf(pooledSites)).min(1).describe('Sites in the order they are shown.'),
  siteRule: z
    .strictObject({
      midGroove: oneOf(midGrooveRules).describe(
        'Where fixation in the middle of the groove counts; the literature has all three ways.',
      ),
    })
    .describe('How arms are placed at sites.'),
  overlapRule: oneOf(overlapRules).describe(
    'Which report counts when several give an outcome of the same patients.',
  ),
  designs: z
    .array(oneOf(studyDesigns))
    .min(1)
    .optional()
    .describe('Study designs that count; without it all do.'),
  outcomes: z
    .array(z.discriminatedUnion('kind', [eventsOutcome, scoreOutcome]))
    .min(1)
    .describe('What is counted or measured.'),
  scales: z.array(scale).describe('Scales of the scores.'),
  analysis: analysis.describe('How results are pooled.'),
  certainty: protocolCertainty
    .optional()
    .describe('Rules by which quality is read and certainty proposed, where they differ from the defaults.'),
});

export type Protocol = z.output<typeof protocolSchema>;
export type ProtocolOutcome = Protocol['outcomes'][number];
export type EventsOutcome = Extract<ProtocolOutcome, { kind: 'events' }>;
export type ScoreOutcome = Extract<ProtocolOutcome, { kind: 'score' }>;
export type ProtocolScale = Protocol['scales'][number];
export type SiteRule = Protocol['siteRule'];
export type WindowMonths = NonNullable<EventsOutcome['windowMonths']>;
