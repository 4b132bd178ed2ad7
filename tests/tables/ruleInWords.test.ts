import { describe, expect, it } from 'vitest';
import { ruleInWords } from '../../src/tables/changes/ruleInWords.ts';

describe('a changed rule in words', () => {
  it.each([
    [
      { path: 'outcomes[groove-pain].windowMonths.minimum', before: '24', after: '12' },
      'Groove pain, earliest month counted: 12 (before: 24)',
    ],
    [
      { path: 'outcomes[revision].definitions', before: '["one"]', after: '["one","two"]' },
      'Revision, definitions accepted: one, two (before: one)',
    ],
    [
      { path: 'analysis.betweenStudyVariance', before: '"paule-mandel"', after: '"dersimonian-laird"' },
      'Estimator of the variance between studies: dersimonian-laird (before: paule-mandel)',
    ],
    [
      { path: 'certainty.limitsRatio', before: undefined, after: '3' },
      'Certainty limits ratio: 3 (before: not stated)',
    ],
    [
      { path: 'designs', before: '[1', after: undefined },
      'Study designs that count: not stated (before: [1)',
    ],
  ])('%#', (change, words) => {
    expect(ruleInWords(change)).toBe(words);
  });
});
