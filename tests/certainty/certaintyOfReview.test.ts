import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { certaintyOfReview } from '../../src/certainty/certaintyOfReview.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { pooledSites } from '../../src/extraction/site.ts';

const review = readReview(demoFiles()).review!;

describe('certainty of a review', () => {
  it('starts the same studies at two levels for two questions', () => {
    const outcome = 'cosmetic-deformity';
    const rate = certaintyOfReview(review, { kind: 'rate', outcome, site: 'subpectoral' });
    const contrast = certaintyOfReview(review, {
      kind: 'comparison',
      outcome,
      site: 'top-of-groove',
      comparator: 'suprapectoral',
    });
    expect(rate.start.level).toBe('high');
    expect(contrast.start.level).toBe('low');
    expect(contrast.body.design).toBe('non-randomised studies');
  });

  it('sets a pair against itself the other way round with the sign turned', () => {
    const [a, b] = pooledSites.slice(2) as ['subpectoral', 'tenotomy'];
    const one = certaintyOfReview(review, {
      kind: 'comparison',
      outcome: 'revision',
      site: a,
      comparator: b,
    });
    const other = certaintyOfReview(review, {
      kind: 'comparison',
      outcome: 'revision',
      site: b,
      comparator: a,
    });
    expect(Math.sign(one.body.estimate!.value)).toBe(-Math.sign(other.body.estimate!.value));
    expect(one.body.relative!.value * other.body.relative!.value).toBeCloseTo(1, 12);
  });

  it('never says low risk of bias of a review without judgements', () => {
    const bare = { ...review, judgements: [], certainty: [] };
    const rating = certaintyOfReview(bare, { kind: 'rate', outcome: 'revision', site: 'subpectoral' });
    const bias = rating.domains.find(({ domain }) => domain === 'risk of bias')!;
    expect(bias.proposed).toBe(-1);
    expect(bias.evidence.join(' ')).toContain('100 % not judged');
    expect(rating.cautions.map(({ code }) => code)).toContain('quality-not-judged');
    expect(rating.confirmed).toBe(false);
  });
});
