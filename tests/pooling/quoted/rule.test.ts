// The rules as tables of cases, both sides of every border.
import { describe, expect, it } from 'vitest';
import { chooseComparison } from '../../../src/pooling/quoted/comparisonRule.ts';
import { chooseForOutcome, chooseRate, type RateFacts } from '../../../src/pooling/quoted/rateRule.ts';

const facts = (arms: number, events: number, shoulders: number, largestArm: number): RateFacts => ({
  arms,
  events,
  shoulders,
  largestArm,
});

describe('which number is quoted for a rate', () => {
  it.each([
    // arms, events, shoulders, largest arm, quoted, because
    [1, 3, 40, 40, 'one-series', 'one-arm'],
    [2, 12, 80, 50, 'posterior-of-the-mean', 'few-arms'],
    [2, 1, 390, 240, 'posterior-of-the-mean', 'few-arms'],
    [4, 1, 900, 300, 'posterior-of-the-mean', 'few-arms'],
    [5, 1, 900, 300, 'mean-of-studies', 'rare'],
    [1, 0, 40, 40, 'one-series', 'no-events'],
    [9, 0, 900, 200, 'one-series', 'no-events'],
    [9, 1, 900, 200, 'mean-of-studies', 'rare'],
    [9, 900, 900, 200, 'one-series', 'only-events'],
    [9, 899, 900, 200, 'mean-of-studies', 'rare'],
    // A tenth of the shoulders with the event, and without.
    [9, 89, 900, 200, 'mean-of-studies', 'rare'],
    [9, 90, 900, 200, 'dersimonian-laird', 'meets-target'],
    [9, 810, 900, 200, 'dersimonian-laird', 'meets-target'],
    [9, 811, 900, 200, 'mean-of-studies', 'rare'],
    // Four events an arm, and four shoulders without.
    [10, 39, 300, 60, 'mean-of-studies', 'few-events'],
    [10, 40, 300, 60, 'dersimonian-laird', 'meets-target'],
    [10, 260, 300, 60, 'dersimonian-laird', 'meets-target'],
    [10, 261, 300, 60, 'mean-of-studies', 'few-events'],
    // Five arms.
    [4, 60, 300, 100, 'posterior-of-the-mean', 'few-arms'],
    [5, 60, 300, 100, 'dersimonian-laird', 'meets-target'],
    // No arm above half of all shoulders.
    [6, 60, 300, 150, 'dersimonian-laird', 'meets-target'],
    [6, 60, 300, 151, 'mean-of-studies', 'one-large-arm'],
  ] as const)('%i arms, %i of %i, largest %i: %s, %s', (arms, events, shoulders, largest, quote, because) => {
    expect(chooseRate(facts(arms, events, shoulders, largest))).toEqual({ quote, because });
  });
});

describe('one method for all sites of an outcome', () => {
  const enough = facts(9, 90, 900, 200);
  const rare = facts(9, 89, 900, 200);
  const alone = facts(1, 2, 40, 40);
  const without = facts(3, 0, 90, 40);
  it.each([
    ['every site allows DerSimonian-Laird', [enough, enough], 'dersimonian-laird'],
    ['one site needs the one-step model', [enough, rare], 'mean-of-studies'],
    ['a site of one arm decides nothing', [enough, alone], 'dersimonian-laird'],
    [
      'a site of few arms is quoted by its posterior, so the others by the same model',
      [enough, facts(4, 60, 300, 100)],
      'mean-of-studies',
    ],
    ['nor beside a rare one', [rare, alone], 'mean-of-studies'],
    ['a site without events tells of a rare outcome', [enough, without], 'mean-of-studies'],
    ['nothing but sites without events', [without, without], 'one-series'],
    ['nothing but single arms', [alone, alone], 'one-series'],
    ['nothing', [], 'one-series'],
  ] as const)('%s', (_, sites, method) => expect(chooseForOutcome(sites)).toBe(method));
});

describe('which number is quoted for a comparison', () => {
  const of = (informative: number, smallestCell: number) => ({
    informative,
    smallestCell,
    treatedEvents: 40,
    comparatorEvents: 50,
  });
  it.each([
    // informative studies, smallest cell, measure, quoted, because
    // Five events and five shoulders without in every arm, and five studies.
    [6, 4, 'odds-ratio', 'posterior', 'few-studies'],
    [6, 5, 'odds-ratio', 'dersimonian-laird', 'meets-target'],
    [5, 5, 'odds-ratio', 'dersimonian-laird', 'meets-target'],
    [4, 5, 'odds-ratio', 'posterior', 'few-studies'],
    [20, 4, 'odds-ratio', 'one-step', 'few-events'],
    [20, 5, 'odds-ratio', 'dersimonian-laird', 'meets-target'],
    // One study, two to nine, ten and more.
    [1, 5, 'odds-ratio', 'common-effect', 'one-study'],
    [1, 0, 'risk-ratio', 'common-effect', 'one-study'],
    [1, 0, 'risk-difference', 'common-effect', 'one-study'],
    [2, 0, 'odds-ratio', 'posterior', 'few-studies'],
    [2, 5, 'odds-ratio', 'posterior', 'few-studies'],
    [9, 0, 'odds-ratio', 'posterior', 'few-studies'],
    [9, 4, 'odds-ratio', 'posterior', 'few-studies'],
    [10, 4, 'odds-ratio', 'one-step', 'few-events'],
    [10, 0, 'odds-ratio', 'one-step', 'few-events'],
    [0, 0, 'odds-ratio', 'nothing', 'no-events'],
    [0, Number.POSITIVE_INFINITY, 'odds-ratio', 'nothing', 'nothing-to-pool'],
    [2, 0, 'risk-ratio', 'posterior', 'few-studies'],
    [9, 4, 'risk-ratio', 'posterior', 'few-studies'],
    [10, 4, 'risk-ratio', 'one-step', 'few-events'],
    [6, 5, 'risk-ratio', 'dersimonian-laird', 'meets-target'],
    [2, 0, 'risk-difference', 'common-effect', 'no-one-step-model'],
    [6, 4, 'risk-difference', 'common-effect', 'no-one-step-model'],
    [10, 4, 'risk-difference', 'common-effect', 'no-one-step-model'],
    [6, 5, 'risk-difference', 'dersimonian-laird', 'meets-target'],
    [4, 5, 'risk-difference', 'common-effect', 'no-one-step-model'],
  ] as const)('%i studies, smallest cell %i, %s: %s, %s', (informative, cell, measure, quote, because) => {
    expect(chooseComparison(of(informative, cell), measure)).toMatchObject({ quote, because });
  });

  it.each([
    [2, 0.5],
    [4, 0.5],
    [5, 1],
    [9, 1],
  ])('%i studies: prior of the deviation half-normal %d', (informative, scale) => {
    expect(chooseComparison(of(informative, 0), 'odds-ratio')).toEqual({
      quote: 'posterior',
      scale,
      because: 'few-studies',
    });
  });
});
