import { siteNames } from '../../../extraction/site.ts';
import { claimPicture } from '../../../figures/claimPicture.ts';
import { checkClaim } from '../../../robustness/claims/checkClaim.ts';
import type { CheckedClaim } from '../../../robustness/claims/checkedClaim.ts';
import { readClaim } from '../../../robustness/claims/readClaim.ts';
import { claimTable } from '../../../tables/claimTables.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import type { ViewDefinition } from './viewContent.ts';

/** The sentence of the state checked against the arms that count at its site, or why it cannot be. */
export function checkedSentence({ state, arms, choices }: LiveAnalysis): CheckedClaim | string | undefined {
  if (state.claim.trim() === '') return undefined;
  const pool = arms.filter(({ site }) => site === state.site);
  try {
    return checkClaim(readClaim(state.claim), { level: choices.level, pool });
  } catch (error) {
    if (error instanceof RangeError) return error.message;
    throw error;
  }
}

/** Can this be said in a talk? */
export const claimView: ViewDefinition = {
  id: 'claim',
  name: 'Check a claim',
  heading: 'Can this be said in a talk?',
  blocks: (analysis) => {
    const checked = checkedSentence(analysis);
    if (checked === undefined) return [];
    if (typeof checked === 'string')
      return [{ kind: 'sentences', sentences: [`This sentence cannot be checked: ${checked}.`] }];
    const { state, outcome } = analysis;
    return [
      { kind: 'sentences', sentences: [checked.sentence, ...checked.further] },
      {
        kind: 'figure',
        name: 'claim',
        title: 'How many there may be',
        draw: (frame) => claimPicture(checked, { ...frame, names: { claim: 'The claim' } }),
      },
      {
        kind: 'table',
        name: 'claim',
        table: claimTable(checked, {
          caption: `The claim in numbers, beside ${outcome.name.toLowerCase()} at: ${siteNames[state.site].toLowerCase()}`,
        }),
      },
    ];
  },
};
