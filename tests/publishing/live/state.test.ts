import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { intervalGoesWith } from '../../../src/pooling/resolvePoolOptions.ts';
import {
  changeState,
  type LiveChange,
  openingState,
} from '../../../src/publishing/live/state/changeState.ts';
import {
  choicesInForce,
  countedOutcomes,
  plannedChoices,
} from '../../../src/publishing/live/state/choices.ts';
import { readHash, writeHash } from '../../../src/publishing/live/state/hash.ts';
import {
  addState,
  canRedo,
  canUndo,
  mostSteps,
  presentState,
  startHistory,
  stepHistory,
} from '../../../src/publishing/live/state/history.ts';
import type { LiveState } from '../../../src/publishing/live/state/liveState.ts';
import { assessorShortcuts } from '../../../src/publishing/live/state/vocabulary.ts';
import { arbitraryChange, stateAfterChanges } from './arbitraryState.ts';
import { demo } from './demo.ts';

const { protocol } = demo;
const opening = openingState(protocol);
const changed = (state: LiveState, ...changes: readonly LiveChange[]): LiveState =>
  changes.reduce((now, change) => changeState(protocol, now, change).state, state);

const arbitraryState = stateAfterChanges(demo);

describe('the state of the live page', () => {
  it('opens on the first outcome, with nothing departed from', () => {
    expect(opening).toEqual({
      outcome: countedOutcomes(protocol)[0]!.id,
      view: 'rates',
      departures: {},
      switchedOff: [],
      claim: '',
      site: 'tenotomy',
    });
    expect(writeHash(demo, opening)).toBe('');
  });

  it('keeps only what departs from the protocol, and always choices that go together', () => {
    fc.assert(
      fc.property(arbitraryState, (state) => {
        const outcome = countedOutcomes(protocol).find(({ id }) => id === state.outcome)!;
        const planned = plannedChoices(protocol, outcome);
        for (const [name, value] of Object.entries(state.departures))
          expect(JSON.stringify(value)).not.toBe(JSON.stringify(planned[name as keyof typeof planned]));
        const { interval, model, betweenStudyVariance } = choicesInForce(protocol, state);
        expect(intervalGoesWith(interval, model, betweenStudyVariance)).toBe(true);
        expect(changed(state, { kind: 'protocol' }).departures).toEqual({});
      }),
    );
  });

  it('never changes the state it was given', () => {
    fc.assert(
      fc.property(arbitraryState, fc.nat(), (state, seed) => {
        const copy = structuredClone(state);
        const [change] = fc.sample(arbitraryChange(demo, state), { numRuns: 1, seed });
        changeState(protocol, state, change!);
        expect(state).toEqual(copy);
      }),
    );
  });

  it('says so when an interval has to give way, and when an outcome takes its own choices with it', () => {
    const likelihood = changed(
      opening,
      { kind: 'choose', choices: { betweenStudyVariance: 'maximum-likelihood' } },
      { kind: 'choose', choices: { interval: 'profile-likelihood' } },
    );
    expect(likelihood.departures.interval).toBe('profile-likelihood');
    const gaveWay = changeState(protocol, likelihood, {
      kind: 'choose',
      choices: { betweenStudyVariance: 'paule-mandel' },
    });
    expect(gaveWay.state.departures.interval).toBeUndefined();
    expect(gaveWay.said[0]).toMatch(/^The profile-likelihood interval goes with random effects/);
    const examined = changed(opening, { kind: 'choose', choices: { assessors: ['examiner'], level: 0.9 } });
    const moved = changeState(protocol, examined, { kind: 'outcome', outcome: 'revision' });
    expect(moved.state.departures).toEqual({ level: 0.9 });
    expect(moved.said).toEqual([
      'Who looked, for what and when had been chosen for "Cosmetic deformity" and went back to the protocol.',
    ]);
  });

  it('offers "only examined" in one click where the sheet has other ways to look as well', () => {
    const [deformity] = countedOutcomes(protocol);
    expect(assessorShortcuts(demo, deformity!)[0]).toEqual({
      name: 'Only what was examined',
      assessors: ['blinded examiner', 'examiner'],
      definitions: deformity!.definitions,
    });
    expect(assessorShortcuts(demo, deformity!)[1]?.definitions).toContain('bulge noticed by the patient');
  });
});

describe('the address', () => {
  it('gives back every state it was made from, in words a person can read', () => {
    fc.assert(
      fc.property(arbitraryState, (state) => {
        const hash = writeHash(demo, state);
        expect(hash).toMatch(/^[\w=&.,+%~!*'()-]*$/);
        expect(readHash(demo, `#${hash}`)).toEqual({ state, ignored: [] });
      }),
      { numRuns: 300 },
    );
  });

  it('is readable', () => {
    const state = changed(
      opening,
      { kind: 'outcome', outcome: 'revision' },
      { kind: 'view', view: 'forest' },
      { kind: 'choose', choices: { betweenStudyVariance: 'paule-mandel', windowMonths: null, level: 0.9 } },
      { kind: 'switch', studies: ['norholt-2009'], on: false },
      { kind: 'claim', claim: '0 of 40, under 5 %' },
    );
    expect(writeHash(demo, state)).toBe(
      'v=1&outcome=revision&view=forest&months=any&spread=paule-mandel&level=0.9&without=norholt-2009&claim=0+of+40%2C+under+5+%25',
    );
  });

  it.each([
    ['an unknown value', 'v=1&spread=abc', /^spread is "abc"; expected one of "dersimonian-laird", /],
    ['an unknown key', 'v=1&colour=red', /^"colour=red" means nothing to this page\.$/],
    [
      'an unknown outcome',
      'v=1&outcome=baldness',
      /^outcome is "baldness"; expected one of "cosmetic-deformity"/,
    ],
    ['an unknown study', 'v=1&without=nowhere-1999', /^without names "nowhere-1999", which is no study/],
    [
      'an unknown assessor',
      'v=1&seen-by=dentist',
      /^seen-by is "dentist"; expected some of "blinded examiner"/,
    ],
    ['a window that runs backwards', 'v=1&months=24-12', /^months is "24-12"; expected "any", or months/],
    ['a level of 200 %', 'v=1&level=2', /^level is "2"; expected a number above 0.5/],
    ['an amount that is none', 'v=1&no-events=add-7', /^no-events is "add-7"; expected "leave-out"/],
    ['a cut-off escape', 'v=1&claim=%E0%A4%A', /^claim is "%E0%A4%A"; expected text/],
    ['a key twice', 'v=1&level=0.9&level=0.8', /^"level" stands twice/],
    [
      'another version',
      'v=7&view=forest',
      /^The address was made for version 7 of this page, which reads version 1/,
    ],
    ['no version', 'view=forest', /^The address was made for version none/],
    [
      'choices that cannot go together',
      'v=1&interval=profile-likelihood',
      /^The profile-likelihood interval goes with/,
    ],
    ['a prototype key', 'v=1&__proto__=x&constructor=y', /means nothing/],
  ])('says in words that it ignored %s', (_, hash, words) => {
    const { state, ignored } = readHash(demo, hash);
    expect(ignored.join('\n')).toMatch(words);
    expect(state.departures.betweenStudyVariance).toBeUndefined();
    expect(state.switchedOff).toEqual([]);
  });

  it('never throws, whatever stands in it', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.webFragments(), (a, b) => {
        for (const hash of [a, b, `v=1&claim=${a}`, `without=${a}&months=${b}`]) readHash(demo, hash);
      }),
    );
  });
});

describe('undo and redo', () => {
  it('walks back through every state and forward again', () => {
    fc.assert(
      fc.property(fc.array(fc.nat({ max: 9 }), { maxLength: 30 }), (numbers) => {
        let history = startHistory(-1);
        for (const number of numbers) history = addState(history, number);
        const seen = [presentState(history)];
        while (canUndo(history)) {
          history = stepHistory(history, -1);
          seen.unshift(presentState(history));
        }
        expect(seen).toEqual([-1, ...numbers.filter((number, at) => number !== numbers[at - 1])]);
        while (canRedo(history)) history = stepHistory(history, 1);
        expect(presentState(history)).toBe(seen.at(-1));
      }),
    );
  });

  it('forgets what was undone when something new is done, and takes typing as one step', () => {
    let history = addState(addState(startHistory('a'), 'b'), 'c');
    history = addState(stepHistory(history, -1), 'd');
    expect([...history.states]).toEqual(['a', 'b', 'd']);
    for (const text of ['0', '0 of', '0 of 40']) history = addState(history, text, 'claim');
    expect([...history.states]).toEqual(['a', 'b', 'd', '0 of 40']);
    expect(canRedo(history)).toBe(false);
  });

  it('holds no more than its share of steps', () => {
    let history = startHistory(0);
    for (let number = 1; number < 1000; number += 1) history = addState(history, number);
    expect(history.states.length).toBe(mostSteps + 1);
    expect(presentState(history)).toBe(999);
  });
});
