import { expect, it } from 'vitest';
import { demoFiles } from '../../../data-extraction/makeDemo.ts';
import { talkOfReview } from '../../../src/publishing/talk/talkOfReview.ts';
import { readSound } from '../../extraction/smallReview.ts';

// The rule: a slide that shows risks of two sites beside a difference says at whose risk the difference is said.
it.each([
  [['subpectoral', 'tenotomy'], 'tenotomy'],
  [['tenotomy', 'subpectoral'], 'tenotomy'],
  [['suprapectoral', 'top-of-groove'], 'suprapectoral fixation'],
] as const)('the comparison and the table of %s name the site whose risk is held', (compare, held) => {
  const { slides } = talkOfReview(readSound(demoFiles()), { compare });
  const table = slides.find(({ id }) => id === 'balance')!;
  expect(table.source).toContain(`at their risk after ${held}`);
  const comparison = slides.find(({ id }) => id.startsWith('comparison-'))!;
  expect(comparison.source).toContain(`at their risk after ${held}`);
  expect(comparison.notes.join('\n')).toMatch(
    new RegExp(`The difference is said at the risk after ${held}, [^:]*: .* arms of these studies`),
  );
});
