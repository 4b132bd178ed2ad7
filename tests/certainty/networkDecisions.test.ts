import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { answersOf, ratingsOf } from '../../src/answers/answersOf.ts';
import { networkRatingsOf } from '../../src/answers/networkAnswers.ts';
import { openDecisions } from '../../src/answers/openDecisions.ts';
import { decisionsFile } from '../../src/certainty/decisionsFile.ts';
import { readReview } from '../../src/extraction/readReview.ts';

const files = demoFiles();
const heading = files['certainty.csv']!.split('\n')[0]!.split(',');
const row = (domain: string, levels: string) => {
  const values: Readonly<Record<string, string>> = {
    outcome: 'cosmetic-deformity',
    question: 'comparison',
    site: 'suprapectoral',
    comparator: 'subpectoral',
    body: 'network',
    domain,
    levels,
    reason: 'both ends would be told alike',
  };
  return heading.map((name) => values[name] ?? '').join(',');
};
const sheet = [
  heading.join(','),
  row('imprecision', '0'),
  row('inconsistency', '0'),
  row('indirectness', '-1'),
];
const reviewOf = (text: string, change: (events: string) => string = (events) => events) =>
  readReview({ ...files, 'events.csv': change(files['events.csv']!), 'certainty.csv': text }).review!;
const networkOf = (review: ReturnType<typeof reviewOf>) =>
  networkRatingsOf(answersOf(review), 'cosmetic-deformity').find(
    ({ question }) =>
      question.kind === 'comparison' &&
      question.site === 'suprapectoral' &&
      question.comparator === 'subpectoral',
  )!;

describe('decisions on a network', () => {
  const open = `${sheet.join('\n')}\n`;
  const { text, confirmed } = decisionsFile(reviewOf(open), open, { confirm: true });

  it('count once they carry what the network held, and confirm its rating', () => {
    expect(confirmed).toBe(3);
    const before = networkOf(reviewOf(open));
    expect(before.confirmed).toBe(false);
    expect(before.decisionsOpen.map(({ why }) => why)).toEqual(Array(3).fill('no record of what it held'));
    const after = networkOf(reviewOf(text));
    expect(after.decisionsOpen).toEqual([]);
    expect(after.confirmed).toBe(true);
    expect(after.domains.map(({ decided }) => decided)).toEqual([0, -1, 0]);
    // The first page of every product says how many must be taken again, those on networks among them.
    expect(openDecisions(reviewOf(open)).count).toBe(3);
    expect(openDecisions(reviewOf(text)).count).toBe(0);
  });

  it('are no decisions on the pair, and not open there', () => {
    const pair = ratingsOf(answersOf(reviewOf(open))).filter(({ decisionsOpen }) => decisionsOpen.length > 0);
    expect(pair).toEqual([]);
  });

  it('no longer count when a study of the network changes', () => {
    const [first] = networkOf(reviewOf(text)).body.arms;
    const changed = reviewOf(text, (events) =>
      events
        .split('\n')
        .filter((line) => !line.startsWith(`${first!.study},`))
        .join('\n'),
    );
    const rating = networkOf(changed);
    expect(rating.confirmed).toBe(false);
    expect(new Set(rating.decisionsOpen.map(({ why }) => why))).toEqual(
      new Set(['the body has changed since']),
    );
  });
});
