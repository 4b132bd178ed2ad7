import { answersOf, type ReviewAnswers } from '../../answers/answersOf.ts';
import { type CheckedSiteClaim, checkSiteClaim } from '../../claims/checkSiteClaim.ts';
import { readSiteClaim } from '../../claims/readSiteClaim.ts';
import { type SiteClaim, siteClaimExamples } from '../../claims/siteClaim.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { type PooledSite, pooledSites } from '../../extraction/site.ts';
import { checkOptionNames } from '../../pooling/optionChecks.ts';
import { clinicalCaution } from '../../wording/clinicalCaution.ts';
import { inventedDataNotice } from '../pageFacts.ts';
import type { Slide, Talk } from './slide.ts';
import { claimSlide } from './slides/claimSlide.ts';
import { balanceSlide, comparisonSlide } from './slides/comparisonSlides.ts';
import { questionSlide } from './slides/questionSlide.ts';
import { type RatesToShow, ratesSlide } from './slides/ratesSlide.ts';
import { unknownSlide } from './slides/unknownSlide.ts';
import { leadingPair, type OutcomeEvidence, outcomeEvidence } from './talkEvidence.ts';
import { tellAnswers } from './tellAnswers.ts';

export interface TalkOptions {
  /** One outcome by its id in the protocol; default all that are counted as events. */
  readonly outcome?: string;
  /** Two sites to set against each other; default the pair that most studies compare within themselves. */
  readonly compare?: readonly [PooledSite, PooledSite];
  /** A sentence the speaker wants to say. */
  readonly claim?: string;
}

/** A sentence that could not be read: says why, and what can be. */
export class ClaimNotUnderstood extends RangeError {
  override readonly name = 'ClaimNotUnderstood';
}

/**
 * A review as a talk: the question, rates by site as people, the one comparison that matters, what is not known, and
 * whether a sentence the speaker supplies may be said.
 *
 * One message a slide, absolute numbers, never a ratio before them, and "we cannot tell" where the numbers do not carry
 * more. Each slide's notes hold the exact numbers, the methods by name, the rows and the references.
 *
 * @throws ClaimNotUnderstood for a sentence that cannot be read, with examples that can
 * @throws RangeError for an unknown outcome, site or option, naming those there are
 * @example
 * talkOfReview(review, { outcome: 'cosmetic-deformity', compare: ['subpectoral', 'tenotomy'] }).slides.length
 */
export function talkOfReview(review: Review, options: TalkOptions = {}): Talk {
  checkOptionNames(options, ['outcome', 'compare', 'claim']);
  const asked = outcomesAsked(review, options.outcome);
  checkPair(options.compare);
  const answers = answersOf(review);
  const evidence = asked.map(({ id }) => outcomeEvidence(answers, id));
  const read =
    options.claim === undefined
      ? undefined
      : readClaimOrThrow(
          options.claim,
          outcomesAsked(review, undefined),
          leadingOutcome(evidence, undefined).outcome.id,
        );
  const leading = leadingOutcome(evidence, read?.outcome);
  const claimed = read === undefined ? undefined : sitesOf(read.claim);
  const pair = options.compare ?? claimed ?? leadingPair(answers, leading);
  return talkFrame(review, [
    questionSlide(review, evidence),
    ...evidence.map((each) => ratesSlide(review, { ...each, departures: each.selection.departures })),
    comparisonSlide(review, leading, pair),
    ...(evidence.length > 1 ? [balanceSlide(review, evidence, pair)] : []),
    unknownSlide(review, leading),
    ...(read === undefined ? [] : [claimSlideOf(review, answers, options.claim!, read, leading)]),
  ]);
}

/**
 * The answer on one slide: how often one outcome happens at each site, by the protocol.
 *
 * @throws RangeError for an unknown outcome, naming those there are
 */
export function slideOfOutcome(review: Review, outcome: string): Talk {
  const [known] = outcomesAsked(review, outcome);
  const each = outcomeEvidence(answersOf(review), known!.id);
  return slideOfPools(review, { ...each, departures: each.selection.departures });
}

/**
 * The answer on one slide, from pools at hand: those of a page on which somebody changed the definition or left a study
 * out. The slide counts the departures from the protocol, its notes name them.
 *
 * @example
 * pptxOfTalk(slideOfPools(review, { outcome, pools, departures: ['Without Norholt 2014.'] }))
 */
export function slideOfPools(review: Review, shown: RatesToShow): Talk {
  return talkFrame(review, [ratesSlide(review, shown)]);
}

const talkFrame = ({ protocol }: Review, slides: readonly Slide[]): Talk => ({
  kind: 'talk',
  title: protocol.title,
  language: 'en-GB',
  notice: protocol.inventedData ? inventedDataNotice : protocol.notice,
  caution: clinicalCaution,
  slides: slides.map(tellAnswers),
});

function outcomesAsked({ protocol }: Review, id: string | undefined): readonly EventsOutcome[] {
  const counted = protocol.outcomes.filter((outcome) => outcome.kind === 'events');
  const asked = id === undefined ? counted : counted.filter((outcome) => outcome.id === id);
  if (asked.length === 0)
    throw new RangeError(
      `outcome must be one of those counted as events (${counted.map((outcome) => outcome.id).join(', ') || 'the protocol has none'}), received ${id ?? 'none'}`,
    );
  return asked;
}

function checkPair(pair: readonly [PooledSite, PooledSite] | undefined): void {
  if (pair === undefined) return;
  const unknown = pair.find((site) => !pooledSites.includes(site));
  if (unknown !== undefined || pair.length !== 2 || pair[0] === pair[1])
    throw new RangeError(
      `compare must be two different sites of ${pooledSites.join(', ')}, received ${pair.join(', ')}`,
    );
}

interface ReadClaim {
  readonly claim: SiteClaim;
  readonly outcome: string | undefined;
}

function readClaimOrThrow(sentence: string, outcomes: readonly EventsOutcome[], outcome: string): ReadClaim {
  const reading = readSiteClaim(sentence, outcomes, { outcome });
  if (reading.status === 'read') return reading;
  throw new ClaimNotUnderstood(
    [
      `The sentence "${sentence.slice(0, 200)}" was not understood: ${reading.reason}.`,
      'Sentences that are:',
      ...siteClaimExamples.map((example) => `  ${example}`),
    ].join('\n'),
  );
}

const sitesOf = (claim: SiteClaim): readonly [PooledSite, PooledSite] | undefined =>
  claim.kind === 'count' || claim.kind === 'rate' ? undefined : [claim.site, claim.comparator];

/** The outcome the comparison is about: the one the claim names, else the first that any arm reports. */
function leadingOutcome(evidence: readonly OutcomeEvidence[], claimed: string | undefined): OutcomeEvidence {
  return (
    evidence.find(({ outcome }) => outcome.id === claimed) ??
    evidence.find(({ selection }) => selection.arms.length > 0) ??
    evidence[0]!
  );
}

function claimSlideOf(
  review: Review,
  answers: ReviewAnswers,
  sentence: string,
  read: ReadClaim,
  leading: OutcomeEvidence,
): Slide {
  const about =
    read.outcome !== undefined && read.outcome !== leading.outcome.id
      ? outcomeEvidence(answers, read.outcome)
      : leading;
  const { claim } = read;
  const sites = sitesOf(claim);
  const pair = sites && about.pairOf(...sites);
  const rate = claim.kind === 'rate' ? about.rateOf(claim.site) : undefined;
  const checked: CheckedSiteClaim = checkSiteClaim(claim, {
    outcome: about.outcome,
    ...(pair === undefined ? {} : { pair, certainty: pair.answer.certainty.level }),
    ...(claim.kind === 'rate'
      ? {
          pool: about.pools.sites.find(({ site }) => site === claim.site)!.pool,
          certainty: rate?.certainty.level,
        }
      : {}),
  });
  return claimSlide(review, sentence, checked);
}
