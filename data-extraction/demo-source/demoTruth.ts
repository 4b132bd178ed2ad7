import type { PooledSite } from '../../src/extraction/site.ts';

/** True rate of an outcome at a site: the median study, and how much studies differ. */
export interface TrueRate {
  /** Rate in the median study, 0 to 1: the back-transformed mean of the logit-normal model. */
  readonly medianRate: number;
  /** Standard deviation between studies, on the logit scale. */
  readonly betweenStudyDeviation: number;
}

/** True mean of a score at follow-up. */
export interface TrueScore {
  readonly mean: number;
  readonly betweenStudyDeviation: number;
  readonly withinDeviation: number;
}

type BySite<Value> = Readonly<Record<PooledSite, Value>>;

const rates = (betweenStudyDeviation: number, medians: BySite<number>): BySite<TrueRate> => ({
  'top-of-groove': { medianRate: medians['top-of-groove'], betweenStudyDeviation },
  suprapectoral: { medianRate: medians.suprapectoral, betweenStudyDeviation },
  subpectoral: { medianRate: medians.subpectoral, betweenStudyDeviation },
  tenotomy: { medianRate: medians.tenotomy, betweenStudyDeviation },
});

const scores = (
  betweenStudyDeviation: number,
  withinDeviation: number,
  means: BySite<number>,
): BySite<TrueScore> => ({
  'top-of-groove': { mean: means['top-of-groove'], betweenStudyDeviation, withinDeviation },
  suprapectoral: { mean: means.suprapectoral, betweenStudyDeviation, withinDeviation },
  subpectoral: { mean: means.subpectoral, betweenStudyDeviation, withinDeviation },
  tenotomy: { mean: means.tenotomy, betweenStudyDeviation, withinDeviation },
});

/**
 * The truth the demo was drawn from. All of it is made up, except that about one tenotomy in five
 * ends in a visible deformity (common practice, no source).
 *
 * Model: in arm j of study i the rate has logit `logit(medianRate) + deviation × z`, where z is
 * standard normal with correlation one half between arms of a study; the events are binomial. A
 * revision for the biceps is also a revision for any cause: both share z and each shoulder's draw.
 * For groove pain the logit also rises with the share of the arm that had a cuff repair, see `cuffRepairEffect`: a
 * mended cuff is sore whatever was done to the tendon. `medianRate` is the rate at the reference share. Outside trials
 * top-of-groove arms have had far more cuff repairs, so that their pooled rate is higher than the site makes it.
 * Mid-groove and soft-tissue arms, and arms whose site the paper does not tell, follow the
 * suprapectoral rates, so the truth of the pools holds under the demo's own rule for mid-groove.
 * What the protocol does not select (other definitions, assessors, times) follows other rates.
 */
export const demoTruth = {
  /** How groove pain rises with cuff repair: rates at the sites hold at `referencePercent`. */
  cuffRepairEffect: {
    outcome: 'groove-pain',
    referencePercent: 30,
    /** Added to the logit for each percentage point above the reference; from none to all it is this times 100. */
    logitPerPercent: 0.02,
  },
  events: {
    'cosmetic-deformity': rates(0.35, {
      'top-of-groove': 0.08,
      suprapectoral: 0.07,
      subpectoral: 0.05,
      tenotomy: 0.2,
    }),
    'groove-pain': rates(0.35, {
      'top-of-groove': 0.08,
      suprapectoral: 0.08,
      subpectoral: 0.05,
      tenotomy: 0.09,
    }),
    revision: rates(0.25, {
      'top-of-groove': 0.015,
      suprapectoral: 0.012,
      subpectoral: 0.01,
      tenotomy: 0.012,
    }),
    'any-revision': rates(0.25, {
      'top-of-groove': 0.045,
      suprapectoral: 0.04,
      subpectoral: 0.035,
      tenotomy: 0.04,
    }),
    stiffness: rates(0.4, {
      'top-of-groove': 0.06,
      suprapectoral: 0.08,
      subpectoral: 0.04,
      tenotomy: 0.04,
    }),
    'nerve-injury': rates(0.2, {
      'top-of-groove': 0.001,
      suprapectoral: 0.001,
      subpectoral: 0.01,
      tenotomy: 0.001,
    }),
  },
  /** Final scores, each on the range the protocol analyses. */
  scores: {
    'pain-vas': scores(0.3, 1.6, {
      'top-of-groove': 2.2,
      suprapectoral: 1.7,
      subpectoral: 1.5,
      tenotomy: 1.8,
    }),
    ases: scores(2.5, 13, { 'top-of-groove': 82, suprapectoral: 85, subpectoral: 86, tenotomy: 83 }),
    constant: scores(2.5, 12, { 'top-of-groove': 78, suprapectoral: 80, subpectoral: 81, tenotomy: 78 }),
  },
} as const;

export type DemoOutcome = keyof typeof demoTruth.events;
export type DemoScale = keyof typeof demoTruth.scores;
