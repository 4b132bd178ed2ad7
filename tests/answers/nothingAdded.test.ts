// No pool of the demonstration, of rates or of comparisons, holds an event nobody saw.
import { describe, expect, it } from 'vitest';
import { answersOf } from '../../src/answers/answersOf.ts';
import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';

describe('nothing is added to a cell', () => {
  it.each(['demo', 'demo-2025'])('in any pool of rates or of comparisons of %s', async (folder) => {
    const { review } = await readReviewFolder(`data-extraction/${folder}`);
    let arms = 0;
    let bare = 0;
    for (const { id, kind } of review!.protocol.outcomes) {
      if (kind !== 'events') continue;
      for (const { pool } of answersOf(review!).counts(id).pools.sites) {
        for (const { study, addedToEachCell } of pool.twoStep.estimates)
          expect(addedToEachCell, `${id} ${study}`).toBe(0);
        arms += pool.arms.length;
        bare += pool.arms.filter(({ events, total }) => events === 0 || events === total).length;
        // On arcsines every arm has a value, so none is lost either.
        expect(pool.twoStep.estimates.length, id).toBe(pool.arms.length);
        expect(pool.methodsSentence).not.toMatch(/\d (was |were )?added/);
      }
    }
    let compared = 0;
    for (const { id, behind } of answersOf(review!).all())
      for (const { study, addedToEachCell } of behind.pair?.pool.estimates ?? []) {
        expect(addedToEachCell, `${id} ${study}`).toBe(0);
        compared += 1;
      }
    expect(compared).toBeGreaterThan(10);
    expect(bare).toBeGreaterThan(10);
    expect(arms).toBeGreaterThan(bare);
  });
});
