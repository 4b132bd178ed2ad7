import type { Review } from '../../../extraction/review.ts';
import { dayInWords } from '../../../tables/plainWords/siteWords.ts';
import { unknownsInWords } from '../../../tables/plainWords/unknownsInWords.ts';
import { limitsReading } from '../../../tables/readings/limitsReading.ts';
import { predictionReading } from '../../../tables/readings/predictionReading.ts';
import type { Slide } from '../slide.ts';
import { comparingStudies, type OutcomeEvidence, studiesOf } from '../talkEvidence.ts';
import { closingNotes } from '../talkNotes.ts';

/** What is not known of one outcome. */
export function unknownSlide(review: Review, evidence: OutcomeEvidence): Slide {
  const { outcome, pools, selection } = evidence;
  const arms = pools.sites.flatMap(({ pool }) => pool.arms);
  const all = new Set(review.studies.map(({ study }) => study)).size;
  const reporting = new Set(
    review.events.filter((row) => row.outcome === outcome.id).map(({ study }) => study),
  ).size;
  const [studies, comparing] = [studiesOf(arms), comparingStudies(arms)];
  return {
    kind: 'slide',
    id: `unknown-${outcome.id}`,
    title:
      studies === 0
        ? `${outcome.name}: no study counts it, so nothing is known`
        : comparing === 0
          ? `${outcome.name}: no study compares sites, so whether the site matters is not known`
          : comparing === studies
            ? `${outcome.name}: what the studies that compare sites leave open`
            : `${outcome.name}: ${studies - comparing} of ${studies} studies treated one site only and cannot tell whether it matters`,
    blocks: [
      {
        kind: 'sentences',
        sentences: unknownsInWords(pools, { silent: all - reporting, all }).map((text) => ({
          text,
          look: 'item',
        })),
      },
    ],
    source: `Last search: ${dayInWords(review.protocol.lastSearch)}.`,
    notes: [
      ...limitsReading(pools),
      ...predictionReading(pools),
      ...pools.sites.flatMap(({ name, pool }) => {
        const spread = pool.twoStep.heterogeneity;
        return spread === undefined
          ? []
          : [
              `${name}: share of the variation beyond chance ${(100 * spread.iSquared).toFixed(0)} %, between-study variance ${spread.betweenStudyVariance.toPrecision(2)} on the ${pool.twoStep.scale} scale.`,
            ];
      }),
      `Rows left out: ${selection.leftOut.length}.`,
      ...selection.departures.map((text) => `Departure from the protocol: ${text}`),
      ...closingNotes(review),
    ],
  };
}
