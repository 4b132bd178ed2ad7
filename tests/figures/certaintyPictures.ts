// Pictures of study quality, from the invented demonstration review.

import { preferenceForComparisons } from '../../src/certainty/quality/concern.ts';
import { studyQuality } from '../../src/certainty/quality/studyQuality.ts';
import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';
import { qualityGrid } from '../../src/figures/qualityGrid.ts';
import { invented } from './inventedPools.ts';

const { review } = await readReviewFolder('data-extraction/demo');
if (review === undefined) throw new Error('the demonstration review has errors');

const both = (name: string, draw: (width: '90mm' | '190mm') => string) => ({
  [`${name}-90mm`]: () => draw('90mm'),
  [`${name}-190mm`]: () => draw('190mm'),
});

const quality = studyQuality(review);
const colemanFirst = studyQuality(review, 'revision', {
  preference: ['modified Coleman', ...preferenceForComparisons.filter((tool) => tool !== 'modified Coleman')],
});

export const certaintyPictures: Readonly<Record<string, () => string>> = {
  ...both('quality-demo', (width) => qualityGrid(quality, { width, notice: invented })),
  ...both('quality-every-instrument', (width) =>
    qualityGrid(
      colemanFirst.map((study, at) =>
        at === 0
          ? { ...study, judgement: undefined, concern: 'not judged' }
          : at === 1
            ? { ...study, label: '<b>A name & a place that is far too long for any column</b> 2010' }
            : at === 3 && study.judgement !== undefined
              ? {
                  ...study,
                  judgement: {
                    ...study.judgement,
                    items: study.judgement.items.map((item) => ({ ...item, answer: undefined })),
                  },
                }
              : study,
      ),
      { width, notice: invented, title: 'Revision: how well each study was done' },
    ),
  ),
  ...both('quality-nothing', (width) => qualityGrid([], { width, notice: invented })),
};
