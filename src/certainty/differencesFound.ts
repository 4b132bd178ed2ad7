import { type ArmEvents, sheetArmsOf } from '../extraction/armEvents.ts';
import { armKey } from '../extraction/armKey.ts';
import { classifySite } from '../extraction/classifySite.ts';
import { definitionText, sameDefinition } from '../extraction/definitions.ts';
import { isReported } from '../extraction/reported.ts';
import type { Review } from '../extraction/review.ts';
import { type BodyOfEvidence, shareOfWeight } from './bodyOfEvidence.ts';
import type { CertaintyRules } from './certaintyRules.ts';
import type { DeclaredDifference } from './domainProposal.ts';
import { shareText } from './perHundred.ts';

/**
 * In which ways that the sheets show do the studies differ from the question?
 *
 * Series of one site set against series of another: one level always. Arms that sit at their site only by the mid-groove
 * rule, arms counted by a definition that was not the first choice, arms outside the time window, arms whose time of
 * follow-up nobody reports: one level each where they carry the stated share of the weight, and said in any case. An
 * assessor of second choice is said only.
 */
export function differencesFound(
  review: Pick<Review, 'arms' | 'protocol'>,
  body: BodyOfEvidence,
  rules: CertaintyRules,
): readonly DeclaredDifference[] {
  const { outcome } = body;
  const rowOf = new Map(review.arms.map((arm) => [armKey(arm), arm]));
  const found: DeclaredDifference[] = [];
  if (body.design === 'series against series')
    found.push({
      levels: -1,
      words:
        'No study compared the two sites: patients, surgeons, years and definitions differ between the series (at least one level, always).',
    });
  const byArm = (meets: (arm: ArmEvents) => boolean): { readonly share: number; readonly arms: number } => {
    const met = body.arms.filter(meets);
    return {
      arms: met.length,
      share: shareOfWeight(body.parts, (part) =>
        met.some((arm) => arm.study === part.study && (part.arm === undefined || part.arm === arm.arm)),
      ),
    };
  };
  const add = (
    { arms, share }: { readonly arms: number; readonly share: number },
    words: string,
    counts: boolean,
  ): void => {
    if (arms === 0) return;
    const takes = counts && share >= rules.indirectShare;
    found.push({
      levels: takes ? -1 : 0,
      words: `${arms} of ${body.arms.length} arms, ${shareText(share)} of the weight, ${words}${takes ? ': one level' : counts ? `: below the ${shareText(rules.indirectShare)} that would count` : ''}.`,
    });
  };
  add(
    byArm((merged) =>
      sheetArmsOf(merged).some((arm) => {
        const row = rowOf.get(armKey(arm));
        if (row === undefined) return false;
        const place = (midGroove: 'with-top-of-groove' | 'with-suprapectoral') =>
          classifySite(row, { midGroove }).site;
        return place('with-top-of-groove') !== place('with-suprapectoral');
      }),
    ),
    'were fixed in the middle of the groove and stand here by the rule for mid-groove only',
    true,
  );
  add(
    byArm(({ definition }) => !sameDefinition(outcome.definitions[0]!, definition)),
    `count by another definition than the first choice ("${definitionText(outcome.definitions[0]!)}")`,
    true,
  );
  const window = outcome.windowMonths;
  if (window !== undefined)
    add(
      byArm(
        ({ followUpMonths }) =>
          isReported(followUpMonths) && (followUpMonths < window.minimum || followUpMonths > window.maximum),
      ),
      `were followed for a time outside ${window.minimum} to ${window.maximum} months`,
      true,
    );
  add(
    byArm(({ followUpMonths }) => !isReported(followUpMonths)),
    'do not report their time of follow-up, so nobody can say by when',
    true,
  );
  add(
    byArm(({ assessor }) => assessor !== outcome.assessors[0]),
    `were assessed by others than the first choice ("${outcome.assessors[0]}")`,
    false,
  );
  return found;
}
