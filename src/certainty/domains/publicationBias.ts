import { fewestStudiesForAsymmetry } from '../../robustness/smallStudies/smallStudyAnswer.ts';
import { counted } from '../../wording/words.ts';
import type { CertaintyRules } from '../certaintyRules.ts';
import type { CertaintyEvidence, DomainProposal } from '../domainProposal.ts';

/**
 * Could results that never reached the review have changed the answer?
 *
 * One level where the reviewers' judgement of missing evidence is high, or where a small-study test fit for this kind of
 * result leans (10 studies or more). Below 10 studies such tests cannot tell: that is "undetected", which is not
 * "absent". A judgement nobody made is said and changes nothing.
 *
 * @see Guyatt GH and others, GRADE guidelines 5, J Clin Epidemiol 2011;64:1277. Sterne JAC and others, BMJ 2011;343:d4002.
 *   Page MJ and others, BMJ 2023;383:e076754 (risk of bias due to missing evidence).
 */
export function publicationBias(
  { smallStudies, missing }: Pick<CertaintyEvidence, 'smallStudies' | 'missing'>,
  rules: CertaintyRules,
): DomainProposal {
  const evidence: string[] = [];
  const decisive: string[] = [];
  const say = (words: string, moves: boolean): void => {
    evidence.push(words);
    if (moves) decisive.push(words);
  };
  // The first test of the list is the one fit for this kind of result; where it has no answer, the classical tests of
  // ratios behind it, which reject too often, do not step in.
  const [fit] = smallStudies;
  const first = fit === undefined || fit.kind === 'small-study-refusal' || fit.forced ? undefined : fit;
  const p = first !== undefined && 'pValue' in first ? first.pValue : undefined;
  const leans = p !== undefined && p < rules.smallStudyP;
  if (first === undefined)
    evidence.push(
      `Undetected, which is not absent: with fewer than ${fewestStudiesForAsymmetry} studies, or none whose spread can be used, no test can tell.`,
    );
  else
    say(
      p === undefined
        ? `${first.method}: no answer.`
        : `${first.method} (${counted(first.studies, 'study', 'studies')}): p ${p < 0.001 ? 'below 0.001' : p.toPrecision(2)}, ${leans ? 'small studies tell another story' : 'which does not show a lean and cannot exclude one'}.`,
      leans,
    );
  if (missing === undefined || missing.overall === 'not judged')
    evidence.push('Risk of bias from missing evidence: not judged by the reviewers.');
  else
    say(
      `Risk of bias from missing evidence, as the reviewers judged it: ${missing.overall}.`,
      missing.overall === 'high',
    );
  if (missing !== undefined) {
    const { used, 'in another report': elsewhere } = missing.facts.studies;
    const all = Object.values(missing.facts.studies).reduce((sum, each) => sum + each, 0);
    evidence.push(`${used + elsewhere} of ${all} eligible studies are in the analysis of this outcome.`);
  }
  return decisive.length === 0 ? { proposed: 0, evidence } : { proposed: -1, evidence, decisive };
}
