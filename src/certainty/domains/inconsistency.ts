import type { StudyPart } from '../bodyOfEvidence.ts';
import type { CertaintyRules } from '../certaintyRules.ts';
import { type CertaintyEvidence, type DomainProposal, levelsDown } from '../domainProposal.ts';
import { hundredText, thresholdsOf } from '../perHundred.ts';

/**
 * Do the studies tell the same story, as far as it matters?
 *
 * Two measures in 100 shoulders: how much further the prediction interval reaches than the confidence interval, and how
 * far the studies' own true values spread (their middle 95 in 100, without sampling error, so that few studies are not
 * mistaken for differing ones). The smaller of the two counts: beyond the smallest difference that matters one level,
 * beyond the moderate one two, the second only where study intervals actually lie apart. Never by I² alone: a share says
 * nothing of size. One study cannot be inconsistent, and cannot be shown to be consistent.
 *
 * @see Guyatt GH and others, GRADE guidelines 7, J Clin Epidemiol 2011;64:1294. IntHout J and others, BMJ Open
 *   2016;6:e010247 (prediction intervals). The measures against thresholds are ours.
 */
export function inconsistency(
  { body }: Pick<CertaintyEvidence, 'body'>,
  rules: CertaintyRules,
): DomainProposal {
  const { estimate, prediction, trueSpread, betweenStudyDeviation } = body;
  const thresholds = thresholdsOf(body.outcome);
  const pooled = body.parts.filter(({ interval }) => interval !== undefined);
  const studies = new Set(pooled.map(({ study }) => study)).size;
  if (studies < 2 || estimate === undefined)
    return {
      proposed: 0,
      evidence: [
        `${studies === 0 ? 'No study' : 'One study'} with an estimate: whether studies agree cannot be asked.`,
      ],
    };
  const { apart, pairs } = pairsApart(pooled);
  const evidence = [
    `${apart} of ${pairs} pairs of study intervals do not overlap.`,
    ...(betweenStudyDeviation === undefined
      ? []
      : [`Between-study standard deviation ${betweenStudyDeviation.toPrecision(2)} on the analysis scale.`]),
  ];
  if (trueSpread === undefined) return { proposed: apart > 0 && studies === 2 ? -1 : 0, evidence };
  const beyond = (limits: { readonly lower: number; readonly upper: number }): number =>
    Math.max(0, estimate.lower - limits.lower, limits.upper - estimate.upper);
  const spread = Math.max(trueSpread.upper - estimate.value, estimate.value - trueSpread.lower);
  evidence.push(
    `The studies' true values spread over ${hundredText(trueSpread.lower)} to ${hundredText(trueSpread.upper)} in 100 (middle 95 in 100).`,
  );
  let size = spread;
  if (prediction === undefined) evidence.push('No prediction interval with this model or so few studies.');
  else {
    const extra = beyond(prediction);
    evidence.push(
      `A new study may show ${hundredText(prediction.lower)} to ${hundredText(prediction.upper)} in 100, ${hundredText(extra)} further than the interval of the mean; a difference of ${hundredText(thresholds.material)} matters.`,
    );
    size = Math.min(spread, extra);
  }
  const steps = size > thresholds.moderate ? 2 : size > thresholds.material ? 1 : 0;
  const mostly = apart > 0 && apart >= rules.apartShare * pairs;
  const levels = Math.max(
    mostly ? steps : Math.min(steps, 1),
    studies === 2 && apart > 0 && steps > 0 ? 1 : 0,
  );
  return { proposed: levelsDown(levels, 2), evidence };
}

function pairsApart(parts: readonly StudyPart[]): { readonly apart: number; readonly pairs: number } {
  let apart = 0;
  let pairs = 0;
  for (const [at, { interval: one, site }] of parts.entries()) {
    for (const { interval: other, site: place } of parts.slice(at + 1)) {
      if (site !== place) continue;
      pairs += 1;
      if (one!.lower > other!.upper || other!.lower > one!.upper) apart += 1;
    }
  }
  return { apart, pairs };
}
