import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import type { CertaintyQuestion } from '../../src/certainty/certaintyQuestion.ts';
import { type CertaintyRating, domainsDown } from '../../src/certainty/certaintyRating.ts';
import { fingerprintOfBody } from '../../src/certainty/fingerprintOfBody.ts';
import { qualityForQuestion } from '../../src/certainty/quality/studyQuality.ts';
import type { Review } from '../../src/extraction/review.ts';
import type { CsvRow } from './demoRows.ts';

/** Rows of missing.csv: invented judgements of what never reached the review. */
export const demoMissing: readonly CsvRow[] = [
  ...missing('cosmetic-deformity', [
    ['known missing results', 'low', 'every eligible study that looked for a bulge prints the number'],
    ['likely missing studies', 'some concerns', 'three registered trials have no report'],
    ['pattern of results', 'low', 'no lean at the sites with ten studies or more'],
  ]),
  ...missing('groove-pain', [
    ['known missing results', 'some concerns', 'two studies mention pain without a number'],
    ['likely missing studies', 'some concerns', 'three registered trials have no report'],
    ['pattern of results', 'low', 'small and large studies tell the same story'],
  ]),
  ...missing('revision', [
    ['known missing results', 'low', 'two studies are silent, and nothing suggests that they looked'],
    ['likely missing studies', 'low', 'registers were searched; a revision is seldom the reason to publish'],
    ['pattern of results', 'some concerns', 'arms without a revision are small'],
    ['overall', 'low', 'the pattern is what rare events in small arms look like'],
  ]),
];

const rate = (outcome: string, site: CertaintyQuestion['site']): CertaintyQuestion => ({
  kind: 'rate',
  outcome,
  site,
});
const pair = (
  outcome: string,
  site: CertaintyQuestion['site'],
  comparator: CertaintyQuestion['site'],
): CertaintyQuestion => ({ kind: 'comparison', outcome, site, comparator });

/** What the invented panel decided on; the other questions stay undecided. */
const decidedOn: readonly CertaintyQuestion[] = [
  rate('cosmetic-deformity', 'top-of-groove'),
  rate('revision', 'top-of-groove'),
  rate('cosmetic-deformity', 'suprapectoral'),
  rate('revision', 'suprapectoral'),
  rate('cosmetic-deformity', 'subpectoral'),
  rate('revision', 'subpectoral'),
  rate('cosmetic-deformity', 'tenotomy'),
  rate('revision', 'tenotomy'),
  rate('groove-pain', 'top-of-groove'),
  rate('groove-pain', 'suprapectoral'),
  rate('groove-pain', 'subpectoral'),
  pair('cosmetic-deformity', 'subpectoral', 'tenotomy'),
  pair('cosmetic-deformity', 'suprapectoral', 'subpectoral'),
  pair('groove-pain', 'top-of-groove', 'suprapectoral'),
  pair('revision', 'subpectoral', 'tenotomy'),
  pair('revision', 'suprapectoral', 'subpectoral'),
];

/** Where the panel had a reason of its own, and what it was shown when it had. */
export interface DemoDecision {
  readonly question: CertaintyQuestion;
  readonly domain: (typeof domainsDown)[number];
  /** The decision is taken only where the data propose this. */
  readonly proposed: number;
  readonly levels: number;
  readonly reason: string;
}

const halves =
  'the lean comes from the halves added to arms without a revision, and nearly all studies report it';

/** Decisions of both years. */
export const demoOwnReasons: readonly DemoDecision[] = [
  {
    question: rate('revision', 'subpectoral'),
    domain: 'publication bias',
    proposed: -1,
    levels: 0,
    reason: halves,
  },
  {
    question: rate('groove-pain', 'top-of-groove'),
    domain: 'indirectness',
    proposed: 0,
    levels: -1,
    reason: 'many of these shoulders also had a cuff repair, which changes pain over the groove',
  },
];

/** Decisions of the later year. */
export const demoLaterReasons: readonly DemoDecision[] = [
  {
    question: rate('revision', 'suprapectoral'),
    domain: 'publication bias',
    proposed: -1,
    levels: 0,
    reason: halves,
  },
  {
    question: rate('cosmetic-deformity', 'tenotomy'),
    domain: 'imprecision',
    proposed: -1,
    levels: 0,
    reason: 'the interval misses the threshold by a tenth of a shoulder in a hundred; 140 events',
  },
  {
    question: pair('cosmetic-deformity', 'subpectoral', 'tenotomy'),
    domain: 'risk of bias',
    proposed: -2,
    levels: -1,
    reason:
      'two of the three trials are at high risk in one domain only, and not in how the bulge was looked for; all three agree',
  },
  {
    question: pair('cosmetic-deformity', 'subpectoral', 'tenotomy'),
    domain: 'imprecision',
    proposed: -1,
    levels: 0,
    reason: 'the smallest effect in the interval is twice the difference that matters',
  },
];

/**
 * Rows of certainty.csv: invented decisions of an invented panel on the main questions, each on the body that answers,
 * with the fingerprint of what it held. The panel kept what the data proposed, with a reason that holds for the body,
 * but where it had a reason of its own.
 */
export function demoCertainty(
  review: Review,
  ownReasons: readonly DemoDecision[],
  day: string,
): readonly CsvRow[] {
  return decidedOn.flatMap((question) => {
    const rating = certaintyOfReview(review, question);
    const held = fingerprintOfBody(rating.body, qualityForQuestion(review, question));
    return domainsDown.map((domain): CsvRow => {
      const { proposed } = rating.domains.find((each) => each.domain === domain)!;
      const own = ownReasons.find(
        (each) =>
          JSON.stringify(each.question) === JSON.stringify(question) &&
          each.domain === domain &&
          each.proposed === proposed,
      );
      const levels = own?.levels ?? proposed;
      return {
        outcome: question.outcome,
        question: question.kind,
        site: question.site,
        comparator: question.kind === 'rate' ? '' : question.comparator,
        body: rating.body.design,
        domain,
        levels: String(levels),
        reason: own?.reason ?? keptFor(rating, domain, proposed),
        proposed_then: String(proposed),
        decided_by: 'panel',
        decided_on: day,
        held_when_decided: held,
        notes: levels === proposed ? '' : 'differs from the proposal',
        extractor: 'A',
      };
    });
  });
}

/** Why the panel kept a proposal; true of any body the data propose it for. */
function keptFor(
  { question, body }: CertaintyRating,
  domain: (typeof domainsDown)[number],
  levels: number,
): string {
  const ofRate = question.kind === 'rate';
  const withEstimate = body.parts.filter(({ interval }) => interval !== undefined).length;
  const reasons: Readonly<Record<typeof domain, readonly string[]>> = {
    'risk of bias': [
      'at least half of the weight comes from studies of low concern, and little from studies of high concern',
      'too much of the weight comes from studies of some or high concern',
      'most of the weight comes from studies of high concern',
      'most of the weight comes from studies with critical flaws',
    ],
    inconsistency: [
      withEstimate === 0
        ? 'no study gives an estimate of its own, so none can disagree with another'
        : withEstimate === 1
          ? 'only one study gives an estimate, so there is nothing to agree with'
          : 'studies differ by less than matters to a patient',
      `the true ${ofRate ? 'rates' : 'differences'} spread further than the difference that matters`,
      'studies lie apart by far more than matters',
    ],
    indirectness: [
      'most of the weight comes from patients, operations and times of the question',
      'a good part of the weight comes from other operations, definitions or times than those of the question',
      'the studies differ from the question in several ways',
    ],
    imprecision: [
      'both ends of the interval would be told to a patient in the same words',
      ofRate
        ? 'the interval reaches further than the difference that matters, or too few shoulders were seen'
        : 'one end of the interval is a difference that matters and the other is not, or too few shoulders were seen',
      'the interval holds values that a patient would be told in quite different words',
      'compatible with almost everything',
    ],
    'publication bias': [
      withEstimate < 10
        ? 'not shown; too few studies to look for it'
        : 'not shown; no lean where it was looked for',
      'small studies tell another story, or results are known to be missing',
    ],
  };
  const words = reasons[domain];
  return words[Math.min(-levels, words.length - 1)]!;
}

function missing(
  outcome: string,
  rows: readonly (readonly [question: string, answer: string, reason: string])[],
): readonly CsvRow[] {
  return rows.map(([question, answer, reason]) => ({ outcome, question, answer, reason, extractor: 'A' }));
}
