import { type BodyOfEvidence, shareOfWeight } from '../bodyOfEvidence.ts';
import type { CertaintyRules } from '../certaintyRules.ts';
import { type CertaintyEvidence, type DomainProposal, levelsDown } from '../domainProposal.ts';
import { shareText } from '../perHundred.ts';
import { type ConcernReading, concernReadings } from '../quality/concern.ts';
import type { StudyQuality } from '../quality/studyQuality.ts';

/**
 * How much of the answer rests on studies whose own faults could have moved it?
 *
 * Shares of the weight by judgement. Two levels where more than half is of high concern; one where more than a quarter
 * is, or where more than half is not of low concern. A study nobody judged counts as not of low concern: silence never
 * is a low risk. In a body that starts high with ROBINS-I the levels follow the share that is moderate, serious or
 * critical instead (one, two, three).
 *
 * @see Guyatt GH and others, GRADE guidelines 4, J Clin Epidemiol 2011;64:407. Schünemann HJ and others, GRADE guidelines
 *   18, J Clin Epidemiol 2019;111:105 (ROBINS-I). The shares are ours.
 */
export function riskOfBias(
  { body, quality, question }: Pick<CertaintyEvidence, 'body' | 'quality' | 'question'>,
  rules: CertaintyRules,
): DomainProposal {
  const byStudy = new Map(quality.map((each) => [each.study, each]));
  const parts = body.parts;
  const shareOf = (reading: ConcernReading): number =>
    shareOfWeight(parts, ({ study }) => (byStudy.get(study)?.concern ?? 'not judged') === reading);
  const shares = concernReadings.map((reading) => [reading, shareOf(reading)] as const);
  const evidence = [
    `Of the weight: ${shares.map(([reading, share]) => `${shareText(share)} ${reading}`).join(', ')}.`,
  ];
  const used = new Set(parts.map(({ study }) => study));
  const instruments = [
    ...new Set(
      quality.flatMap(({ study, judgement }) => (used.has(study) && judgement ? [judgement.instrument] : [])),
    ),
  ];
  if (instruments.length > 0) evidence.push(`Judged by ${instruments.join(', ')}.`);
  const unjudged = [...used].filter(
    (study) => (byStudy.get(study)?.concern ?? 'not judged') === 'not judged',
  );
  if (unjudged.length > 0)
    evidence.push(
      `${unjudged.length} of ${used.size} studies are not judged. They count as some concern until somebody judges them, never as low.`,
    );
  if (question.kind === 'comparison' && startsHighWithRobinsI(body, quality, rules))
    return byRobinsI(body, byStudy, evidence);
  const high = shareOf('high concern');
  const notLow = 1 - shareOf('low concern');
  const made = (levels: number, words: string): DomainProposal => ({
    proposed: levelsDown(levels, 2),
    evidence: [...evidence, words],
    decisive: [words],
  });
  if (parts.every(({ weight }) => weight === 0))
    return made(1, 'No study carries weight, so no share can be said; one level until somebody decides.');
  const counts = (share: number, count: string): string =>
    `${shareText(high)} of the weight is of high concern, more than the ${shareText(share)} from which it counts ${count}.`;
  if (high > rules.highShareForTwo) return made(2, counts(rules.highShareForTwo, 'two levels'));
  if (high > rules.highShareForOne) return made(1, counts(rules.highShareForOne, 'a level'));
  const unread = shareOf('not judged');
  return notLow > rules.concernShareForOne
    ? made(
        1,
        `${shareText(notLow)} of the weight is not of low concern${unread > 0 ? ` (${shareText(unread)} is not judged)` : ''}, more than the ${shareText(rules.concernShareForOne)} from which it counts a level.`,
      )
    : { proposed: 0, evidence };
}

/**
 * Whether studies that nobody judged carry the answer: more than the share of the weight from which concern counts (or
 * every study, where none has weight).
 */
export function carriedUnjudged(
  { body, quality }: Pick<CertaintyEvidence, 'body' | 'quality'>,
  rules: CertaintyRules,
): boolean {
  const unjudged = ({ study }: { readonly study: string }): boolean =>
    (quality.find((each) => each.study === study)?.concern ?? 'not judged') === 'not judged';
  return body.parts.every(({ weight }) => weight === 0)
    ? body.parts.length > 0 && body.parts.every(unjudged)
    : shareOfWeight(body.parts, unjudged) > rules.concernShareForOne;
}

/** Whether this body starts high by the rule for studies judged with ROBINS-I. */
export function startsHighWithRobinsI(
  body: Pick<BodyOfEvidence, 'design' | 'parts'>,
  quality: readonly StudyQuality[],
  rules: CertaintyRules,
): boolean {
  if (rules.nonRandomisedStart !== 'high-with-robins-i' || body.design !== 'non-randomised studies')
    return false;
  const weighted = body.parts.filter(({ weight }) => weight > 0);
  return (
    weighted.length > 0 &&
    weighted.every(({ study }) =>
      quality.some(
        (each) =>
          each.study === study && each.judgement?.instrument === 'ROBINS-I' && each.concern !== 'not judged',
      ),
    )
  );
}

function byRobinsI(
  body: BodyOfEvidence,
  byStudy: ReadonlyMap<string, StudyQuality>,
  evidence: readonly string[],
): DomainProposal {
  const overallOf = (study: string): string => {
    const judgement = byStudy.get(study)?.judgement;
    return judgement?.typed ?? judgement?.derived ?? '';
  };
  const shareAtLeast = (words: readonly string[]): number =>
    shareOfWeight(body.parts, ({ study }) => words.includes(overallOf(study)));
  const steps = [['critical'], ['critical', 'serious'], ['critical', 'serious', 'moderate']] as const;
  const shares = steps.map(shareAtLeast);
  const levels = shares[0]! > 0.5 ? 3 : shares[1]! > 0.5 ? 2 : shares[2]! > 0.5 ? 1 : 0;
  const words = `ROBINS-I overall: critical ${shareText(shares[0]!)} of the weight, at least serious ${shareText(shares[1]!)}, at least moderate ${shareText(shares[2]!)}. The body started high, so these take it down.`;
  const proposed = levelsDown(levels, 3);
  return {
    proposed,
    evidence: [...evidence, words],
    ...(proposed === 0 ? {} : { decisive: [words] }),
  };
}
