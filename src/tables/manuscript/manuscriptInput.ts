import type { Answer } from '../../answers/answer.ts';
import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import type { StudyQuality } from '../../certainty/quality/studyQuality.ts';
import type { ScoreSelection } from '../../effects/scores/scoreSelection.ts';
import type { Comparison } from '../../extraction/agreement/compareExtractions.ts';
import type { EventSelection } from '../../extraction/eventSelection.ts';
import type { FlowCounts } from '../../extraction/flowCounts.ts';
import type { MidGrooveRule } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import type { PooledSite } from '../../extraction/site.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';
import type { PooledResult } from '../../pooling/pooledResult.ts';
import type { MissingEvidence } from '../../robustness/missing/missingEvidence.ts';
import type { MissingJudgement } from '../../robustness/missing/missingJudgement.ts';
import type { SiteChanges } from '../whatWouldChangeTable.ts';

/** One outcome counted as events, with what was computed from it. */
export interface EventsResults {
  readonly selection: EventSelection;
  readonly pools: SitePools;
  /** What was tried on each site's rate, in the order of the pools. */
  readonly changes?: readonly SiteChanges[];
  /** The pools under each mid-groove rule. */
  readonly midGroove?: readonly { readonly rule: MidGrooveRule; readonly pools: SitePools }[];
  /** Site against site: the answer to each pair. */
  readonly comparisons?: readonly Answer[];
}

/** One score at each site, on one scale. */
export interface ScoreResults {
  readonly selection: ScoreSelection;
  readonly scaleName: string;
  /** Ends of the scale, where known. */
  readonly range: { readonly minimum: number; readonly maximum: number } | undefined;
  readonly sites: readonly {
    readonly site: PooledSite;
    readonly pool: PooledResult;
    readonly answer: Answer;
  }[];
}

/** Everything a manuscript is written from: results only, nothing is computed anew. */
export interface ManuscriptInput {
  readonly review: Review;
  readonly flow: FlowCounts;
  readonly outcomes: readonly EventsResults[];
  readonly scores?: readonly ScoreResults[];
  readonly missing?: MissingEvidence;
  /** Two extractors' sheets held against each other. */
  readonly agreement?: Comparison;
  /** Reviewers' judgements of missing evidence, one for each outcome. */
  readonly missingJudgements?: readonly MissingJudgement[];
  readonly quality?: readonly StudyQuality[];
  readonly certainty?: readonly CertaintyRating[];
  /** What the protocol changed since earlier versions of the review, in sentences. */
  readonly amendments?: readonly string[];
  readonly software?: { readonly name: string; readonly version: string };
}
