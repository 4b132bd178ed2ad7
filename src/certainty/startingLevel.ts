import type { CertaintyRating } from './certaintyRating.ts';
import type { CertaintyRules } from './certaintyRules.ts';
import type { CertaintyEvidence } from './domainProposal.ts';
import { startsHighWithRobinsI } from './domains/riskOfBias.ts';

/**
 * Where does this body of evidence start?
 *
 * How often something happens is a question of the prognosis kind: studies of patients as they come start high. Whether
 * one site does better than another is a question of effect: randomised trials start high, everything else low. The same
 * studies so start at two levels for two questions. Trials pooled together with other studies start where the others do,
 * whatever share of the weight is theirs.
 *
 * @see Iorio A and others, BMJ 2015;350:h870 (prognosis). Balshem H and others, J Clin Epidemiol 2011;64:401 (effects).
 *   Schünemann HJ and others, J Clin Epidemiol 2019;111:105 (high with ROBINS-I, as an option).
 */
export function startingLevel(
  { question, body, quality }: Pick<CertaintyEvidence, 'question' | 'body' | 'quality'>,
  rules: CertaintyRules,
): CertaintyRating['start'] {
  if (question.kind === 'rate')
    return {
      level: 'high',
      reason:
        'how often something happens is asked of patients as they come, so observational studies start high.',
    };
  switch (body.design) {
    case 'randomised trials':
      return { level: 'high', reason: 'randomised trials of the two sites.' };
    case 'all comparative studies':
      return {
        level: 'low',
        reason:
          'randomised trials and other studies are pooled together, and a mixture starts where its weaker part does.',
      };
    case 'series against series':
      return {
        level: 'low',
        reason: 'no study compared the two sites; series of one are set against series of the other.',
      };
    default:
      return startsHighWithRobinsI(body, quality, rules)
        ? {
            level: 'high',
            reason: 'non-randomised studies all judged by ROBINS-I, which takes confounding off below.',
          }
        : { level: 'low', reason: 'the sites were not allotted at random.' };
  }
}
