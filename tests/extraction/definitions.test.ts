import { describe, expect, it } from 'vitest';
import {
  definitionText,
  rankOfDefinition,
  sameDefinition,
  tradeSynonyms,
} from '../../src/extraction/definitions.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { smallReview } from './smallReview.ts';

const withDefinitions = (definitions: unknown) => {
  const protocol = JSON.parse(smallReview['protocol.json']!);
  protocol.outcomes[0].definitions = definitions;
  return readReview({ ...smallReview, 'protocol.json': JSON.stringify(protocol) });
};

describe('definitions and their names', () => {
  it('compare by case, by spaces, by their own names, and by those of the trade only', () => {
    expect(sameDefinition('visible bulge', ' Visible  BULGE ')).toBe(true);
    expect(sameDefinition('visible bulge', 'a visible bulge')).toBe(false);
    expect(sameDefinition('visible bulge | change of contour', 'Change of contour')).toBe(true);
    expect(sameDefinition('Popeye deformity', 'popeye sign')).toBe(true);
    expect(sameDefinition('bulge | Popeye sign', 'Popeye deformity')).toBe(true);
    // What was looked for differs: these are no synonyms.
    expect(sameDefinition('groove pain', 'groove tenderness')).toBe(false);
    expect(sameDefinition('revision', 'reoperation')).toBe(false);
    expect(sameDefinition('Popeye deformity', 'cosmetic deformity')).toBe(false);
  });

  it('of the trade belong to one definition each', () => {
    const names = tradeSynonyms.flat().map((name) => name.toLowerCase());
    expect(new Set(names).size).toBe(names.length);
    expect(tradeSynonyms.every((group) => group.length > 1)).toBe(true);
  });

  it('have the rank of the first definition they name', () => {
    const accepted = ['Popeye deformity', 'Popeye sign', 'visible bulge | lump'];
    expect(['Popeye sign', 'lump', 'not reported'].map((words) => rankOfDefinition(words, accepted))).toEqual(
      [0, 2, -1],
    );
  });
});

describe('synonyms in the protocol', () => {
  it('are a list of their own or one text with bars, and mean the same', () => {
    const [listed, barred] = [
      [['groove tenderness', 'pain over the groove']],
      ['groove tenderness | pain over the groove'],
    ].map((definitions) => withDefinitions(definitions));
    expect(listed!.problems.filter(({ file }) => file === 'protocol.json')).toEqual([]);
    const [one, other] = [listed!, barred!].map(({ review }) => selectEvents(review!, 'groove-pain'));
    expect(one).toEqual(other);
    // One rank, one name, whichever word the sheet has.
    expect(new Set(one!.arms.map(({ definition }) => definition))).toEqual(new Set(['groove tenderness']));
    const ranked = selectEvents(
      withDefinitions(['groove tenderness', 'pain over the groove']).review!,
      'groove-pain',
    );
    expect(new Set(ranked.arms.map(({ definition }) => definition)).size).toBe(2);
  });

  it.each([[[]], [[[]]], [['']], [[['a', ' ']]], [['a | ']], [[' | a']], [[['a', ['b']]]]])(
    'a name that is none is refused: %j',
    (definitions) => {
      const found = withDefinitions(definitions).problems.filter(({ file }) => file === 'protocol.json');
      expect(found.length).toBeGreaterThan(0);
      expect(found[0]!.heading).toMatch(/^outcomes\[0\]\.definitions/);
    },
  );

  it('are printed as a sentence has them', () => {
    expect(definitionText('visible bulge | lump')).toBe('visible bulge or lump');
  });

  it('are no slip in the sheet', () => {
    const warnings = (definitions: unknown) =>
      withDefinitions(definitions).problems.filter(({ heading }) => heading === 'definition').length;
    expect(warnings([['groove tenderness', 'pain over the groove']])).toBe(0);
    expect(warnings(['bicipital groove tenderness', 'bicipital groove pain'])).toBe(0);
    expect(warnings(['groove tenderness'])).toBeGreaterThan(0);
  });
});
