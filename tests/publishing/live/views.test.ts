import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyse } from '../../../src/publishing/live/analysis/analyse.ts';
import { headlineSentence } from '../../../src/publishing/live/analysis/headline.ts';
import { plainAnswer } from '../../../src/publishing/live/analysis/plainAnswer.ts';
import { departuresLine } from '../../../src/publishing/live/exports/departuresTravel.ts';
import { openingState } from '../../../src/publishing/live/state/changeState.ts';
import { liveViews } from '../../../src/publishing/live/state/liveState.ts';
import { views } from '../../../src/publishing/live/views/views.ts';
import { stateAfterChanges } from './arbitraryState.ts';
import { demo } from './demo.ts';

const { protocol } = demo;

const arbitraryState = stateAfterChanges(demo);

describe('the views', () => {
  it('have an answer for whatever is chosen, and their pictures can be drawn', () => {
    fc.assert(
      fc.property(arbitraryState, fc.constantFrom(...liveViews), (chosen, view) => {
        const state = { ...chosen, view, claim: view === 'claim' ? '1 of 40, under 5 %' : chosen.claim };
        const analysis = analyse(demo, state);
        expect(plainAnswer(analysis.pools)).toHaveLength(4);
        const rows = demo.events.filter((row) => row.outcome === analysis.outcome.id).length;
        expect(analysis.arms.length + analysis.leftOut.length, 'no row is lost').toBe(rows);
        expect(headlineSentence(analysis.outcome.name, analysis.pools)).not.toMatch(/undefined|NaN/);
        for (const block of views[view].blocks(analysis, demo)) {
          if (block.kind === 'figure')
            expect(block.draw({ width: '190mm', idPrefix: 'x' })).toMatch(/^<svg[\s\S]*<\/svg>\n$/);
          if (block.kind === 'sentences')
            for (const sentence of block.sentences) expect(sentence).not.toMatch(/undefined|NaN|\[object/);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('a claim that cannot be read is answered in words', () => {
    const state = { ...openingState(protocol), view: 'claim' as const, claim: 'none at all' };
    expect(views.claim.blocks(analyse(demo, state), demo)).toEqual([
      {
        kind: 'sentences',
        sentences: [
          'This sentence cannot be checked: a claim needs one count or two, such as "0 of 40", received 0 in "none at all".',
        ],
      },
    ]);
  });

  it('a picture says in one line in what it departs from the protocol, however many ways', () => {
    expect(departuresLine([])).toBeUndefined();
    expect(departuresLine(['A.', 'B.'])).toBe('Not as the protocol has it. A. B.');
    const long = Array.from({ length: 9 }, (_, at) => `${String(at).repeat(100)}.`);
    expect(departuresLine(long)).toMatch(/^Not as the protocol has it\. 0{100}\. 1{100}\. And 7 more\.$/);
  });
});
