import { type CertaintyEvidence, type DomainProposal, levelsDown } from '../domainProposal.ts';

/**
 * Do the studies answer this question, or one beside it?
 *
 * Differences found in the data (arms placed by the mid-groove rule, a definition or assessor that was not the first
 * choice, a time nobody reports, series of one site set against series of another) and those the caller declares. Their
 * levels add up, to three at the most for series against series and two otherwise.
 *
 * @see Guyatt GH and others, GRADE guidelines 8, J Clin Epidemiol 2011;64:1303. Which differences count is ours.
 */
export function indirectness({
  body,
  differences,
}: Pick<CertaintyEvidence, 'body' | 'differences'>): DomainProposal {
  const levels = differences.reduce((sum, each) => sum - each.levels, 0);
  const made = differences.filter((each) => each.levels !== 0).map(({ words }) => words);
  return {
    proposed: levelsDown(levels, body.design === 'series against series' ? 3 : 2),
    evidence:
      differences.length === 0
        ? ['No difference between studies and question was found in the data, and none was declared.']
        : differences.map(({ words }) => words),
    ...(made.length === 0 ? {} : { decisive: made }),
  };
}
