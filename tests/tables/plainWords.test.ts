import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PairToTell } from '../../src/answers/pairToTell.ts';
import type { CertaintyLevel } from '../../src/certainty/certaintyRating.ts';
import { peopleAmong, peopleBaseFor, peopleBases } from '../../src/effects/peopleAmong.ts';
import type { EventsOutcome } from '../../src/extraction/protocol.ts';
import { poolBySite } from '../../src/pooling/poolBySite.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { quoteSites } from '../../src/pooling/quoteSites.ts';
import { aboutInHundred } from '../../src/tables/plainWords/aboutInHundred.ts';
import { differenceInWords } from '../../src/tables/plainWords/differenceInWords.ts';
import { pairInWords } from '../../src/tables/plainWords/pairInWords.ts';
import { poolInWords } from '../../src/tables/plainWords/poolInWords.ts';
import { dayInWords } from '../../src/tables/plainWords/siteWords.ts';
import { unknownsInWords } from '../../src/tables/plainWords/unknownsInWords.ts';
import { withoutAnswerMarks } from '../../src/wording/answerMark.ts';
import { toldPair } from '../answers/told.ts';
import { runs } from '../helpers/runs.ts';
import { makeArms, makePools } from './makeArms.ts';

const share = fc.double({ min: 0, max: 1, noNaN: true });
const ordered = fc
  .tuple(share, share, share)
  .map((three) => three.sort((a, b) => a - b) as [number, number, number]);
const count = (text: string): number => Number(text.replaceAll(',', ''));

/** What a spoken range allows, as people among the base. */
function rangeSaid(text: string, base: number): [number, number] {
  const between = /between ([\d,]+) and ([\d,]+)/.exec(text) ?? /([\d,]+) to ([\d,]+)/.exec(text);
  if (between !== null) return [count(between[1]!), count(between[2]!)];
  const near = /very near ([\d,]+)/.exec(text);
  if (near !== null) return [count(near[1]!), count(near[1]!)];
  const most = /(?:no more than|up to) ([\d,]+)/.exec(text);
  if (most !== null) return [0, count(most[1]!)];
  const least = /(?:at least )?([\d,]+)(?: or more)?/.exec(text);
  if (/at least|or more/.test(text)) return [count(least![1]!), base];
  if (/anything/.test(text)) return [0, base];
  const single = /could see ([\d,]+)$/.exec(text);
  return [count(single![1]!), count(single![1]!)];
}

describe('aboutInHundred', () => {
  it('says it as people do', () => {
    expect(
      aboutInHundred(0.048, { lower: 0.021, upper: 0.109 }, { lower: 0.012, upper: 0.236 }).sentence,
    ).toBe('About 5 in 100, likely between 2 and 11; the next hospital could see 1 to 24.');
    expect(aboutInHundred(0.0041, { lower: 0.0011, upper: 0.0094 }).sentence).toBe(
      'About 4 in 1,000, likely between 1 and 10.',
    );
    expect(aboutInHundred(0.0041, undefined, undefined, { base: 100 }).sentence).toBe('Fewer than 1 in 100.');
    expect(aboutInHundred(0.0001).sentence).toBe('Fewer than 1 in 1,000.');
    expect(aboutInHundred(0.5, { lower: 0, upper: 1 }).sentence).toBe(
      'About 50 in 100, anything from none to all of them.',
    );
    expect(aboutInHundred(0.97, { lower: 0.9, upper: 0.999 }).sentence).toBe(
      'About 97 in 100, likely at least 90.',
    );
    expect(aboutInHundred(1, undefined).sentence).toBe('All in 100.');
    expect(aboutInHundred(0.9996, undefined, undefined, { base: 1000 }).sentence).toBe(
      'More than 999 in 1,000.',
    );
  });

  it('keeps the true numbers within what is said, for any rate', () => {
    fc.assert(
      fc.property(
        ordered,
        ordered,
        fc.constantFrom(...peopleBases, undefined),
        ([lower, rate, upper], next, asked) => {
          const said = aboutInHundred(
            rate,
            { lower, upper },
            { lower: next[0], upper: next[2] },
            asked === undefined ? {} : { base: asked },
          );
          const { base } = said;
          const about = /([\d,]+) in/.exec(said.about);
          if (said.about.startsWith('about'))
            expect(Math.abs(count(about![1]!) - rate * base)).toBeLessThanOrEqual(0.5 + 1e-9);
          else if (said.about.startsWith('fewer than 1')) expect(rate * base).toBeLessThan(1);
          else if (said.about.startsWith('more than')) expect(rate * base).toBeGreaterThan(base - 1);
          else expect([0, 1]).toContain(rate);
          for (const [words, low, high] of [
            [said.likely!, lower, upper],
            [said.next!, next[0], next[2]],
          ] as const) {
            const [from, to] = rangeSaid(words, base);
            expect(from).toBeLessThanOrEqual(low * base + 1e-6);
            expect(to).toBeGreaterThanOrEqual(high * base - 1e-6);
            // And no more than a person wider at either end.
            if (!/no more than|up to|at least|or more|anything/.test(words)) {
              expect(from).toBeGreaterThan(low * base - 1 - 1e-6);
              expect(to).toBeLessThan(high * base + 1 + 1e-6);
            }
          }
          expect(said.sentence).not.toMatch(/NaN|Infinity|undefined|\babout 0\b|-/);
        },
      ),
      { numRuns: runs(400) },
    );
  });

  it('never says none of a rate above none, nor all of one below all', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-12, max: 1 - 1e-12, noNaN: true }),
        fc.constantFrom(...peopleBases),
        (rate, base) => {
          expect(aboutInHundred(rate, undefined, undefined, { base }).about).not.toMatch(
            /^(?:none|all|about 0)\b/,
          );
        },
      ),
    );
  });

  it('refuses what is no rate, naming the bound and the value', () => {
    expect(() => aboutInHundred(1.2)).toThrow('rate must be from 0 to 1, received 1.2');
    expect(() => aboutInHundred(Number.NaN)).toThrow('rate must be from 0 to 1, received NaN');
    expect(() => aboutInHundred(0.5, { lower: 0.6, upper: 0.4 })).toThrow('lower must not lie above upper');
    expect(() => peopleAmong(0.5, undefined, 10 as never)).toThrow(
      'base must be one of 100, 1000, received 10',
    );
  });

  it('keeps one base for rates side by side', () => {
    expect(peopleBaseFor([0.18, 0.004])).toBe(1000);
    expect(peopleBaseFor([0.18, 0.02, 0, 1])).toBe(100);
    expect(peopleBaseFor([0.985])).toBe(1000);
    expect(peopleBaseFor([])).toBe(100);
  });

  it('rounds limits outwards and forgives the last bit', () => {
    // 0.07 × 100 is 7.000000000000001 in binary arithmetic; seven people are meant.
    expect(peopleAmong(0.07, { lower: 0.07, upper: 0.07 })).toEqual({
      base: 100,
      about: 7,
      lower: 7,
      upper: 7,
    });
    expect(peopleAmong(0.29, { lower: 0.29, upper: 0.29 })).toEqual({
      base: 100,
      about: 29,
      lower: 29,
      upper: 29,
    });
  });
});

describe('differenceInWords', () => {
  it('says direction, size and range', () => {
    expect(differenceInWords({ value: -0.219, lower: -0.256, upper: -0.126 }, 100)).toEqual({
      about: 'about 22 fewer in 100',
      likely: 'likely between 12 and 26 fewer',
    });
    expect(differenceInWords({ value: 0.03, lower: -0.009, upper: 0.094 }, 100)).toEqual({
      about: 'about 3 more in 100',
      likely: 'anything from 1 fewer to 10 more',
    });
    expect(differenceInWords({ value: 0.001, lower: -0.002, upper: 0.004 }, 100).about).toBe(
      'less than 1 more in 100',
    );
    expect(differenceInWords({ value: 0, lower: 0, upper: 0 }, 100)).toEqual({
      about: 'no difference in 100',
      likely: 'likely none',
    });
    expect(() => differenceInWords({ value: 2, lower: 0, upper: 1 }, 100)).toThrow(
      'value must be from -1 to 1',
    );
  });

  it('brackets the true limits and never turns a direction round', () => {
    const signed = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(signed, signed, signed), fc.constantFrom(...peopleBases), (three, base) => {
        const [lower, value, upper] = three.sort((a, b) => a - b) as [number, number, number];
        const { about, likely } = differenceInWords({ value, lower, upper }, base);
        const both = /anything from ([\d,]+) fewer to ([\d,]+) more/.exec(likely);
        if (both !== null) {
          expect(count(both[1]!)).toBeGreaterThanOrEqual(-lower * base - 1e-6);
          expect(count(both[2]!)).toBeGreaterThanOrEqual(upper * base - 1e-6);
        } else if (likely !== 'likely none') {
          const side = likely.endsWith('fewer') ? -1 : 1;
          const numbers = [...likely.matchAll(/[\d,]+/g)].map(([text]) => count(text));
          const far = Math.max(...numbers);
          const near = numbers.length === 2 ? Math.min(...numbers) : /no more/.test(likely) ? 0 : far;
          const [closest, farthest] =
            side < 0 ? [-upper * base, -lower * base] : [lower * base, upper * base];
          expect(near).toBeLessThanOrEqual(closest + 1e-6);
          expect(far).toBeGreaterThanOrEqual(farthest - 1e-6);
        }
        if (value * base >= 0.5) expect(about).toContain('more');
        if (value * base <= -0.5) expect(about).toContain('fewer');
        expect(`${about} ${likely}`).not.toMatch(/NaN|undefined|\babout 0\b|-/);
      }),
      { numRuns: runs(300) },
    );
  });
});

describe('poolInWords', () => {
  const arm = (study: string, events: number, total: number) => ({
    study,
    label: study,
    year: 2014,
    arm: 'a',
    site: 'subpectoral' as const,
    events,
    total,
    followUpMonths: 24,
    definition: 'visible bulge',
    assessor: 'examiner',
    design: 'case series',
    row: { file: 'events.csv', line: 2, locator: 'table 2' },
  });

  /** The rate as every product quotes it. */
  const quotedPool = (arms: ReturnType<typeof arm>[]) =>
    quoteSites(poolBySite(arms, { zeroEvents: { addToEachCell: 0.5 } }), {
      zeroEvents: { addToEachCell: 0.5 },
    }).sites.find(({ site }) => site === 'subpectoral')!.pool;

  it('takes none as what it may still be', () => {
    // Clopper-Pearson upper limit of 0 of 40 is 8.81 % (1 − 0.025^(1/40)).
    expect(poolInWords(poolRates([arm('a', 0, 40)], { zeroEvents: 'leave-out' })).sentence).toBe(
      'None of 40; the true rate may still be 0 to 8.8 in 100.',
    );
    expect(poolInWords(poolRates([arm('a', 40, 40)], { zeroEvents: 'leave-out' })).sentence).toBe(
      'All of 40; the true rate may be 91.2 to 100 in 100.',
    );
  });

  it('names people in 1,000 wherever a number in 100 stands beside them', () => {
    const pool = quotedPool([
      arm('a', 0, 60),
      arm('b', 1, 300),
      arm('c', 0, 250),
      arm('d', 2, 190),
      arm('e', 0, 40),
      arm('f', 4, 310),
    ]);
    const { about, likely, next, other } = poolInWords(pool);
    expect(about).toMatch(/ in 1,000$/);
    expect(likely).toMatch(/ in 100 \(/);
    expect(next).toMatch(/ in 1,000$/);
    expect(other).toMatch(/^DerSimonian-Laird: [\d.]+ in 100$/);
  });

  it('has no word on the next hospital below three studies, and none without a study', () => {
    expect(poolInWords(poolRates([arm('a', 4, 40), arm('b', 2, 60)])).next).toBeUndefined();
    expect(poolInWords(poolRates([arm('a', 4, 40), arm('b', 2, 60), arm('c', 9, 80)])).next).toMatch(
      /^the next hospital could see /,
    );
    expect(poolInWords(poolRates([])).sentence).toBe('No study counts it: we cannot tell.');
  });
});

describe('unknownsInWords', () => {
  it('says each limit only where it applies', () => {
    const pools = makePools([
      makeArms('top-of-groove', [
        [90, 1000],
        [2, 20],
      ]),
      makeArms('suprapectoral', [[0, 40]]),
      makeArms('subpectoral', [
        [1, 100],
        [40, 100],
        [5, 100],
        [30, 100],
        [2, 100],
      ]),
    ]);
    const words = unknownsInWords(pools, { silent: 1, all: 9 });
    const [first] = words;
    expect(first).toMatch(/randomised trial/);
    expect(words).toContainEqual(
      expect.stringMatching(/^Hospitals differ: the next one could see .* in 100 \(subpectoral\)\.$/),
    );
    expect(words).toContain('1 of 9 studies does not report it; what it saw is unknown.');
    expect(words).toContain('Fewer than five studies: top of groove (2), suprapectoral (1).');
    expect(words).toContainEqual(
      expect.stringMatching(/^Mostly one study: top of groove \(.*, \d+ % of the weight\)\.$/),
    );
    expect(words).toContain('Counted by no study: tenotomy.');
    // 0 of 40: exact upper limit 8.8 %, said as nine.
    expect(words).toContain('Not seen is not never: suprapectoral (up to 9 in 100).');
    expect(words.join(' ')).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('has one thing to say where nothing was counted', () => {
    expect(unknownsInWords(makePools([]), { silent: 0, all: 4 })).toEqual([
      'No study counts it, so nothing is known.',
    ]);
  });
});

describe('pairInWords', () => {
  const outcome: EventsOutcome = {
    id: 'x',
    name: 'Cosmetic deformity',
    kind: 'events',
    better: 'lower',
    definitions: ['any'],
    assessors: ['any'],
    prefer: 'longest',
    denominator: 'all',
    thresholdsPer100: { materialDifference: 5, source: 'made up' },
  };
  const told = (lower: number, upper: number, certainty?: CertaintyLevel) =>
    toldPair({ difference: [lower, upper], ...(certainty === undefined ? {} : { certainty }) });

  it.each([
    // 30 and 11.5 in 100 are said as 30 and 12, so 18 and not 18.5 rounded up.
    [
      -0.25,
      -0.12,
      'fewer',
      /: perhaps about 18 fewer in 100 after subpectoral fixation than after tenotomy$/,
    ],
    [-0.25, -0.02, 'not more', /: perhaps not more after .* by 5 or more in 100; fewer are possible$/],
    [0.06, 0.2, 'more', /: perhaps about 13 more in 100/],
    [0.01, 0.2, 'not fewer', /: perhaps not fewer after .* more are possible$/],
    [-0.03, 0.04, 'no difference that matters', /: perhaps no difference that matters$/],
    [-0.05, 0.06, 'cannot be told', /: we cannot tell which has fewer$/],
    [-0.25, 0.2, 'cannot be told', /: we cannot tell which has fewer$/],
  ] as const)('from %d to %d: %s', (lower, upper, verdict, title) => {
    const words = pairInWords(told(lower, upper), outcome);
    expect(words.verdict).toBe(verdict);
    expect(words.title).toMatch(title);
    expect(words.cell.startsWith('cannot tell')).toBe(verdict === 'cannot be told');
  });

  it('says how firmly by the certainty, and nothing at very low', () => {
    expect(pairInWords(told(-0.25, -0.12, 'moderate'), outcome).title).toContain(': probably about 18 fewer');
    expect(pairInWords(told(-0.25, -0.12, 'high'), outcome).title).toContain(': about 18 fewer');
    const unsure = pairInWords(told(-0.25, -0.12, 'very low'), outcome);
    expect(unsure.title).toBe(
      'Cosmetic deformity, subpectoral against tenotomy: we cannot tell, the evidence is very uncertain',
    );
    expect(withoutAnswerMarks(unsure.difference!)).toBe(
      'Seen in them: 19 fewer in 100 (25 fewer to 12 fewer).',
    );
  });

  it('adds up: the difference said is that of the two rates said beside it', () => {
    fc.assert(
      fc.property(
        share,
        share,
        fc.double({ min: 0, max: 0.2, noNaN: true }),
        (treatment, comparator, margin) => {
          const value = treatment - comparator;
          const base = told(Math.max(-1, value - margin), Math.min(1, value + margin));
          const exact = { ...base.risks!.difference, value };
          const { risks, difference, title } = pairInWords(
            { ...base, risks: { ...base.risks!, treatment, comparator, difference: exact } },
            outcome,
          );
          const said = risks.map((text) => /^about ([\d,]+) /.exec(text)?.[1]);
          const apart = /^About ([\d,]+) (fewer|more)/.exec(difference ?? '');
          if (said.every((each) => each !== undefined) && apart !== null)
            expect(count(said[1]!) - count(said[0]!)).toBe(
              (apart[2] === 'fewer' ? -1 : 1) * count(apart[1]!),
            );
          expect(`${title} ${risks.join(' ')} ${difference}`).not.toMatch(/NaN|undefined|about 0 /);
        },
      ),
      { numRuns: runs(200) },
    );
  });

  it('says nothing of rates where no study did both', () => {
    expect(pairInWords(toldPair({ studies: 0 }), outcome)).toMatchObject({
      verdict: 'cannot be told',
      title: 'Cosmetic deformity, subpectoral against tenotomy: we cannot tell',
      opening: 'No study counted it after both.',
      risks: [],
      difference: undefined,
    });
  });
});

describe('the next hospital of a pair', () => {
  /** A pair whose range for a new study lies wholly on the side of fewer. */
  const withRange = (certainty: CertaintyLevel): PairToTell => {
    const told = toldPair({ difference: [-0.25, -0.12], certainty });
    const pair = { effect: { value: 0.3, prediction: { lower: 0.1, upper: 0.8, level: 0.95 } } };
    return {
      ...told,
      answer: { ...told.answer, behind: { ...told.answer.behind, pair: pair as never } },
    };
  };

  it('is expected to agree only where something can be told', () => {
    expect(pairInWords(withRange('moderate'), { name: 'Cosmetic deformity' }).elsewhere).toMatch(
      /the same way round/,
    );
    expect(pairInWords(withRange('very low'), { name: 'Cosmetic deformity' }).elsewhere).toBeUndefined();
  });
});

describe('dayInWords', () => {
  it('writes a date out and leaves the rest', () => {
    expect(dayInWords('2026-06-30')).toBe('30 June 2026');
    expect(dayInWords('2026-13-01')).toBe('2026-13-01');
    expect(dayInWords('soon')).toBe('soon');
  });
});
