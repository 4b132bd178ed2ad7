import { describe, expect, it } from 'vitest';
import { estimateMeans } from '../../../src/effects/scores/estimateMeans.ts';
import { scoreMethodsSentence } from '../../../src/effects/scores/scoreMethodsSentence.ts';
import { selectScores } from '../../../src/effects/scores/selectScores.ts';
import { readReviewFolder } from '../../../src/extraction/readReviewFolder.ts';

describe('scores of the invented demonstration', () => {
  it('uses or leaves out every row of the outcome’s scales, on one range, with finite estimates', async () => {
    const { review } = await readReviewFolder('data-extraction/demo');
    for (const [outcome, scales] of [
      ['pain', ['pain-vas']],
      ['function', ['ases', 'constant']],
    ] as const) {
      const selection = selectScores(review!, outcome);
      const rows = review!.scores.filter((row) => (scales as readonly string[]).includes(row.scale));
      expect(selection.arms.length + selection.leftOut.length).toBe(rows.length);
      expect(new Set(selection.arms.map((arm) => arm.arm + arm.study)).size).toBe(selection.arms.length);
      for (const arm of selection.arms) {
        expect(arm.mean, arm.label).toBeGreaterThanOrEqual(arm.range!.minimum);
        expect(arm.mean, arm.label).toBeLessThanOrEqual(arm.range!.maximum);
      }
      for (const scale of new Set(selection.arms.map((arm) => arm.scale))) {
        const { estimates, leftOut } = estimateMeans(selection.arms, { scale });
        expect(estimates.length + leftOut.length).toBe(selection.arms.length);
        for (const each of estimates) expect(Number.isFinite(each.value) && each.variance > 0).toBe(true);
      }
    }
  });

  it('says in one sentence how the scores were come by', async () => {
    const { review } = await readReviewFolder('data-extraction/demo');
    const selection = selectScores(review!, 'pain');
    const printed = selection.arms.filter((arm) => arm.conversions.length === 0).length;
    const sentence = scoreMethodsSentence(selection);
    expect(sentence).toContain(
      `${printed} of ${selection.arms.length} arms with mean and standard deviation as printed`,
    );
    expect(sentence).toContain('from the standard error');
    expect(sentence).toContain('rescaled to the range of the protocol');
    expect(scoreMethodsSentence({ ...selection, arms: [] })).toContain('No arm has a usable score');
  });
});
