import { expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { answersFile } from '../../src/answers/answersFile.ts';
import { answersOf } from '../../src/answers/answersOf.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { differences, leaves, shuffled } from '../helpers/orderOfRows.ts';

it('the order of the rows in the sheets changes no answer', () => {
  const files = demoFiles();
  const [given, after] = [files, shuffled(files, 11)].map((sheets) => {
    const answers = JSON.parse(answersFile(answersOf(readReview(sheets).review!))) as { id: string }[];
    return Object.fromEntries(answers.map((answer) => [answer.id, answer]));
  });
  expect(Object.keys(given!).length).toBeGreaterThan(20);
  expect(leaves(given).size).toBeGreaterThan(200);
  expect(differences(given, after).slice(0, 10)).toEqual([]);
});
