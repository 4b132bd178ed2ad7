// Pictures of choices, claims and missing evidence, from the invented demonstration review.

import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';
import { claimPicture } from '../../src/figures/claimPicture.ts';
import { missingMatrix } from '../../src/figures/missingMatrix.ts';
import { specificationCurve } from '../../src/figures/specificationCurve.ts';
import { rankChoices } from '../../src/robustness/choices/rankChoices.ts';
import { runChoices } from '../../src/robustness/choices/runChoices.ts';
import { shareOfConclusions } from '../../src/robustness/choices/shareOfConclusions.ts';
import { checkClaim } from '../../src/robustness/claims/checkClaim.ts';
import { missingEvidence } from '../../src/robustness/missing/missingEvidence.ts';
import { invented } from './inventedPools.ts';

const { review } = await readReviewFolder('data-extraction/demo');
if (review === undefined) throw new Error('the demonstration review has errors');

const difference = runChoices(review, 'groove-pain', { site: 'subpectoral', minus: 'top-of-groove' });
const few = runChoices(
  review,
  'stiffness',
  { site: 'suprapectoral' },
  { grid: { scale: ['logit'], estimator: ['common-effect'], interval: ['wald'] } },
);
const nothing = runChoices({ ...review, events: [] }, 'revision', { site: 'tenotomy' });

type Width = '90mm' | '190mm';
const both = (name: string, draw: (width: Width) => string) => ({
  [`${name}-90mm`]: () => draw('90mm'),
  [`${name}-190mm`]: () => draw('190mm'),
});

const long = 'The Combined Harbour Hospitals of Upper and Lower Mirefield <b>&amp; co</b> 2019';

export const picturesOfChoices: Readonly<Record<string, () => string>> = {
  ...both('curve-difference', (width) =>
    specificationCurve(difference, {
      width,
      notice: invented,
      shares: shareOfConclusions(difference),
      order: rankChoices(difference).map(({ dimension }) => dimension),
    }),
  ),
  ...both('curve-few', (width) => specificationCurve(few, { width, notice: invented, reference: 0.1 })),
  ...both('curve-nothing', (width) => specificationCurve(nothing, { width, notice: invented })),
  ...both('claim-none', (width) =>
    claimPicture(checkClaim({ events: 0, total: 40, limit: 0.05 }), { width, notice: invented }),
  ),
  ...both('claim-two-arms', (width) =>
    claimPicture(checkClaim({ events: 0, total: 12, comparator: { events: 44, total: 1083 } }), {
      width,
      notice: invented,
      names: { claim: long, comparator: 'Tenotomy' },
    }),
  ),
  ...both('claim-rare', (width) =>
    claimPicture(checkClaim({ events: 12, total: 15_085 }), { width, notice: invented }),
  ),
  ...both('claim-all', (width) =>
    claimPicture(checkClaim({ events: 3, total: 3 }), { width, notice: invented }),
  ),
  ...both('missing-demo', (width) => missingMatrix(missingEvidence(review), { width, notice: invented })),
  ...both('missing-nothing', (width) =>
    missingMatrix(missingEvidence({ ...review, studies: [] }), { width, notice: invented }),
  ),
};
