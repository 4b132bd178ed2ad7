// One method for all sites of an outcome: what another site counts may change the number here.
import { group, sum } from 'd3-array';
import { expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { answersOf } from '../../src/answers/answersOf.ts';
import { type AnswerTold, answersTold } from '../../src/changes/answerTold.ts';
import type { Review } from '../../src/extraction/review.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { readSound } from '../extraction/smallReview.ts';

const review = readSound(demoFiles());
const outcome = 'cosmetic-deformity';
const { arms } = selectEvents(review, outcome);
const armOf = new Map(arms.map((at) => [`${at.study} ${at.arm}`, at]));
const manyArms = [...group(arms, ({ site }) => site)]
  .filter(
    ([, at]) =>
      at.length >= 5 && 2 * Math.max(...at.map(({ total }) => total)) <= sum(at, ({ total }) => total),
  )
  .map(([site]) => site);

/** Three in ten had the event at the sites with many arms, and nobody counted it elsewhere; but at one site it was rare. */
const common = (rareAt: string | undefined): Review => ({
  ...review,
  events: review.events.flatMap((row) => {
    if (row.outcome !== outcome) return [row];
    const { site, total } = armOf.get(`${row.study} ${row.arm}`) ?? {};
    if (site === undefined || total === undefined || !manyArms.includes(site)) return [];
    return [{ ...row, events: site === rareAt ? 1 : Math.round(0.3 * total) }];
  }),
});

it('answers remembered from a state are not taken for another in which a second site became rare', () => {
  expect(manyArms.length).toBeGreaterThan(1);
  const [here, there] = manyArms as [string, string];
  const before = common(undefined);
  const after = common(there);
  const rate = `rate:${outcome}:${here}`;
  const memory = new Map<string, AnswerTold>();
  const told = answersTold(before, memory);
  expect(answersOf(before).to(rate).quoted?.estimand).toBe('centre on the scale');
  expect(answersOf(after).to(rate).quoted?.estimand).toBe('mean of studies');
  expect(answersTold(after, memory)).toEqual(answersTold(after));
  expect(answersTold(after, memory).get(rate)).not.toEqual(told.get(rate));
});
