import { describe, expect, it } from 'vitest';
import { type PrintedStatistic, readPrintedStatistic } from '../../../src/extraction/printedStatistic.ts';
import type { ArithmeticCheck } from '../../../src/robustness/audit/arithmeticCheck.ts';
import { checkTotal } from '../../../src/robustness/audit/auditPeople.ts';
import { checkCount } from '../../../src/robustness/audit/checkCount.ts';
import { checkPercentage } from '../../../src/robustness/audit/checkPercentage.ts';
import { checkPValue } from '../../../src/robustness/audit/checkPValue.ts';
import { checkRatio } from '../../../src/robustness/audit/checkRatio.ts';
import { checkRatioLimit } from '../../../src/robustness/audit/checkRatioLimit.ts';
import {
  checkDeviationGranularity,
  checkMeanGranularity,
  checkMeanOnScale,
} from '../../../src/robustness/audit/granularity.ts';
import {
  checkErrorForDeviation,
  checkLargestDeviation,
  checkMeanLimit,
  checkStandardError,
} from '../../../src/robustness/audit/spread.ts';
import { twoArmTests } from '../../../src/robustness/audit/twoArmTests.ts';
import { fisherExact } from '../../../src/robustness/claims/exactTwoArms.ts';
import { expectClose, expectPrinted } from '../../helpers/close.ts';
import reference from '../../reference/audit.json' with { type: 'json' };

const print = (text: string): PrintedStatistic => {
  const { statistic, cure } = readPrintedStatistic(text);
  if (statistic === undefined) throw new Error(cure);
  return statistic;
};
const count = (events: number, total: number) => ({ events, total });
const words = (check: ArithmeticCheck): string =>
  check.verdict === 'does not fit' ? [check.kind, check.counts, ...check.wouldFit].join(' ') : check.verdict;
const pOf = (name: string, ...arms: readonly [ReturnType<typeof count>, ReturnType<typeof count>]): number =>
  twoArmTests(...arms).find((test) => test.name === name)?.p ?? Number.NaN;

describe('tests of two arms', () => {
  it.each(reference.rows.map((row) => [`${row.one} against ${row.other}`, row] as const))(
    'base R: %s',
    (_, { one, other, tests }) => {
      const arms = [count(one[0]!, one[1]!), count(other[0]!, other[1]!)] as const;
      for (const [name, p] of Object.entries(tests))
        expectClose(pOf(name, ...arms), p, 'otherLibrary', { label: name });
      expectClose(pOf("Fisher's exact test", ...arms), fisherExact(...arms), 'identity');
    },
  );

  it('has no answer where there is nothing to test', () => {
    expect(twoArmTests(count(0, 23), count(0, 23))).toEqual([]);
    expect(twoArmTests(count(5, 5), count(7, 7))).toEqual([]);
    expect(checkPValue(print('1.0'), count(0, 23), count(0, 23)).verdict).toBe('cannot be checked');
  });
});

describe('abstracts as printed', () => {
  it('McCrum 2019, J Shoulder Elbow Surg 28:461: revision 1.51 % of 530 and 0.60 % of 996, p .001 printed', () => {
    expect(checkPercentage(print('1.51'), { total: 530 })).toMatchObject({ by: '8 of 530' });
    expect(checkPercentage(print('0.60'), { total: 996 })).toMatchObject({ by: '6 of 996' });
    const arms = [count(8, 530), count(6, 996)] as const;
    // The Fisher value was worked out for the abstract elsewhere; it is not in the paper.
    expectPrinted(pOf("Fisher's exact test", ...arms), '.092');
    const check = checkPValue(print('.001'), ...arms);
    expect(words(check)).toContain("p = 0.0924 by Fisher's exact test");
    expect(checkPValue(print('.092'), ...arms).verdict).toBe('fits');
  });

  it('Friedman 2015, Orthop J Sports Med: 22 tenotomies, 20 tenodeses, "7/20 of tenotomy"', () => {
    const check = checkCount(print('7/20'), { name: 'tenotomy', totals: [22] }, [
      { name: 'tenodesis', totals: [20] },
    ]);
    expect(check).toMatchObject({ verdict: 'does not fit', kind: 'denominator', strength: 'contradiction' });
    expect(words(check)).toContain('20 is the number of tenodesis');
    expect(checkCount(print('7/22'), { name: 'tenotomy', totals: [22] }, []).verdict).toBe('fits');
  });

  it('Gombera 2015, Am J Sports Med: 10 of 23 printed as 39.1 %', () => {
    const check = checkPercentage(print('39.1'), count(10, 23));
    expect(words(check)).toContain('10 of 23 is 43.48 %');
    expect(words(check)).toContain('9 of 23 would fit');
    expect(checkPercentage(print('34.8'), { total: 23 })).toMatchObject({ by: '8 of 23' });
  });

  it('Koh 2024, J ISAKOS: 58.9 % of 91 is no whole number; 53 of 90 is', () => {
    const check = checkPercentage(print('58.9'), { total: 91 });
    expect(words(check)).toContain('No whole number of 91 is 58.9 %');
    expect(words(check)).toContain('53 of 90 would fit');
  });

  it('Woodmass 2021, J Shoulder Elbow Surg: 15 of 45 against 4 of 42 gives 4.75, 4.3 printed', () => {
    const check = checkRatio('odds ratio', print('4.3'), count(15, 45), count(4, 42));
    expect(words(check)).toContain('odds ratio of 4.75');
    expect(check).toMatchObject({ strength: 'question' });
    expect(checkRatio('odds ratio', print('4.75'), count(15, 45), count(4, 42)).verdict).toBe('fits');
  });

  it('J Orthop Surg Res 2023;18: 21 of 40 against 2 of 15, .009 printed: not flagged', () => {
    const arms = [count(21, 40), count(2, 15)] as const;
    expectPrinted(pOf('chi-square without correction', ...arms), '.0087');
    expect(checkPValue(print('.009'), ...arms).verdict).toBe('fits');
  });

  it('Werner 2014, Arthroscopy 30:1075: 19 of 106 against 8 of 143, .002 printed: not flagged', () => {
    const arms = [count(19, 106), count(8, 143)] as const;
    expectPrinted(pOf('chi-square without correction', ...arms), '.00197');
    expect(checkPValue(print('.002'), ...arms).verdict).toBe('fits');
    expect(checkPercentage(print('17.9'), count(19, 106)).verdict).toBe('fits');
    expect(checkPercentage(print('5.6'), count(8, 143)).verdict).toBe('fits');
  });
});

describe('explanations', () => {
  it('of a ratio: other arm on top, halves, the other ratio', () => {
    const arms = [count(15, 45), count(4, 42)] as const;
    expect(words(checkRatio('odds ratio', print('0.21'), ...arms))).toContain('other arm on top');
    expect(words(checkRatio('odds ratio', print('3.50'), ...arms))).toContain('risk ratio of the counts');
    const halves = (3.5 / 17.5 / (0.5 / 22.5)).toFixed(2);
    expect(words(checkRatio('odds ratio', print(halves), count(3, 20), count(0, 22)))).toContain(
      'half an event',
    );
    expect(checkRatio('odds ratio', print('99'), count(3, 20), count(0, 22)).verdict).toBe(
      'cannot be checked',
    );
    expect(checkRatio('risk difference', print('23.8'), ...arms).verdict).toBe('fits');
    expect(checkRatio('risk difference', print('0.24'), ...arms).verdict).toBe('fits');
    expect(words(checkRatio('risk difference', print('-23.8'), ...arms))).toContain('other arm on top');
  });

  it('of a p value: one side, a slipped point, exchanged denominators', () => {
    const arms = [count(19, 106), count(8, 143)] as const;
    expect(words(checkPValue(print('.0010'), ...arms))).toContain('one-sided');
    expect(words(checkPValue(print('0.0197'), ...arms))).toContain('decimal point');
    const swapped = pOf('chi-square without correction', count(7, 22), count(4, 31)).toFixed(4);
    expect(words(checkPValue(print(swapped), count(7, 31), count(4, 22)))).toContain(
      'denominators exchanged',
    );
    expect(checkPValue(print('<.01'), ...arms).verdict).toBe('fits');
    expect(checkPValue(print('<.001'), ...arms).verdict).toBe('does not fit');
    expect(checkPValue(print('>0.05'), ...arms).verdict).toBe('does not fit');
  });

  it('of a percentage: the total of another arm', () => {
    const check = checkPercentage(print('10.0'), {
      ...count(4, 42),
      otherTotals: [{ name: 'tenotomy', total: 40 }],
    });
    expect(check).toMatchObject({ kind: 'denominator' });
    expect(words(check)).toContain('4 of 40, the total of tenotomy');
  });

  it('of limits: Woolf (J Shoulder Elbow Surg table above), inverted, and no flag where methods differ', () => {
    const arms = [count(15, 45), count(4, 42)] as const;
    const reach = 1.959963984540054 * Math.sqrt(1 / 15 + 1 / 30 + 1 / 4 + 1 / 38);
    const upper = 4.75 * Math.exp(reach);
    expect(checkRatioLimit('odds ratio', 'upper', print(upper.toFixed(2)), ...arms).verdict).toBe('fits');
    expect(words(checkRatioLimit('odds ratio', 'lower', print((1 / upper).toFixed(3)), ...arms))).toContain(
      'on top',
    );
    expect(checkRatioLimit('odds ratio', 'upper', print('21.5'), ...arms).verdict).toBe('cannot be checked');
    expect(checkRatioLimit('odds ratio', 'upper', print('4.4'), count(15, 45), count(9, 42)).verdict).toBe(
      'cannot be checked',
    );
    expect(checkRatioLimit('odds ratio', 'upper', print('30'), count(15, 45), count(9, 42)).verdict).toBe(
      'does not fit',
    );
  });

  it('of spread', () => {
    expect(checkLargestDeviation(print('5.2'), 30, { minimum: 0, maximum: 10 }).verdict).toBe('does not fit');
    expect(checkLargestDeviation(print('5.0'), 30, { minimum: 0, maximum: 10 }, print('5.0')).verdict).toBe(
      'fits',
    );
    expect(checkLargestDeviation(print('4.0'), 30, { minimum: 0, maximum: 10 }, print('1.0')).verdict).toBe(
      'does not fit',
    );
    expect(checkStandardError(print('1.8'), print('11.3'), 38).verdict).toBe('fits');
    expect(words(checkStandardError(print('11.3'), print('11.3'), 38))).toContain('wrong name');
    const usual = { studies: 4, median: 2.1 };
    expect(words(checkErrorForDeviation('standard deviation', print('0.3'), 60, usual))).toContain(
      'As a standard error',
    );
    expect(checkErrorForDeviation('standard deviation', print('1.1'), 60, usual).verdict).toBe('fits');
    expect(words(checkErrorForDeviation('standard error', print('2.1'), 60, usual))).toContain(
      'usual as a standard deviation',
    );
    expect(checkErrorForDeviation('standard error', print('0.3'), 60, usual).verdict).toBe('fits');
    expect(
      checkErrorForDeviation('standard error', print('0.3'), 60, { studies: 2, median: 2.1 }).verdict,
    ).toBe('cannot be checked');
    expect(checkMeanLimit('upper', print('26.1'), print('22.4'), print('11.3'), 38).verdict).toBe('fits');
    expect(words(checkMeanLimit('upper', print('33.7'), print('22.4'), print('11.3'), 38))).toContain(
      'one standard deviation',
    );
    expect(checkMeanLimit('upper', print('29.0'), print('22.4'), print('11.3'), 38)).toMatchObject({
      strength: 'contradiction',
    });
    expect(words(checkMeanOnScale(print('64.0'), { minimum: 0, maximum: 10 }))).toContain(
      '6.4 would lie on it',
    );
    expect(checkTotal(print('82'), [40, 42], 'patients enrolled').verdict).toBe('fits');
    expect(words(checkTotal(print('80'), [40, 42], 'patients enrolled'))).toContain('40 + 42 = 82');
    expect(checkTotal(print('80'), [40, undefined], 'patients enrolled').verdict).toBe('cannot be checked');
  });
});

describe('granularity', () => {
  it('Brown and Heathers 2017: 5.19 from 28 whole numbers is impossible; 5.18 and 5.21 are not (from memory)', () => {
    expect(checkMeanGranularity(print('5.19'), 28, { step: 1 }).verdict).toBe('does not fit');
    expect(checkMeanGranularity(print('5.18'), 28, { step: 1 }).verdict).toBe('fits');
    expect(checkMeanGranularity(print('5.21'), 28, { step: 1 }).verdict).toBe('fits');
  });

  /** Every set of n answers from 0 to top, as sum and sum of squares. */
  function everySet(n: number, top: number): Set<string> {
    let sets = new Set(['0,0']);
    for (let at = 0; at < n; at += 1) {
      const next = new Set<string>();
      for (const each of sets) {
        const [sum = 0, squares = 0] = each.split(',').map(Number);
        for (let answer = 0; answer <= top; answer += 1) next.add(`${sum + answer},${squares + answer ** 2}`);
      }
      sets = next;
    }
    return sets;
  }

  it('means: flagged exactly when no set of answers has them', () => {
    for (const [n, top, decimals, step, minimum] of [
      [3, 4, 2, 1, 0],
      [7, 5, 2, 1, 1],
      [12, 3, 1, 1, 0],
      [9, 4, 2, 0.5, 0],
      [23, 10, 2, 1, 0],
    ] as const) {
      const maximum = minimum + top * step;
      const unit = 10 ** -decimals;
      // Either way of rounding a tie counts as printed.
      const possible = (value: number): boolean => {
        for (let sum = 0; sum <= n * top; sum += 1)
          if (Math.abs(minimum + (sum * step) / n - value) <= unit / 2 + 1e-9) return true;
        return false;
      };
      let flagged = 0;
      for (let k = Math.round(minimum / unit); k <= Math.round(maximum / unit); k += 1) {
        const printed = print((k * unit).toFixed(decimals));
        const fits = checkMeanGranularity(printed, n, { step, minimum, maximum }).verdict === 'fits';
        expect(fits, `${printed.text} of ${n}`).toBe(possible(printed.value));
        if (!fits) flagged += 1;
      }
      expect(flagged > 0).toBe(n * 1 < (step === 1 ? 1 : 2) / unit);
    }
  });

  it('deviations: never flagged when some set of answers has them, and mostly flagged when none has', () => {
    let impossible = 0;
    let caught = 0;
    for (const [n, top, decimals] of [
      [4, 5, 2],
      [7, 4, 2],
      [10, 3, 1],
      [12, 6, 2],
    ] as const) {
      const truth = new Set<string>();
      const means = new Set<string>();
      for (const each of everySet(n, top)) {
        const [sum = 0, squares = 0] = each.split(',').map(Number);
        const deviation = Math.sqrt(Math.max(0, squares - sum ** 2 / n) / (n - 1));
        for (const mean of bothRoundings(sum / n, decimals)) {
          means.add(mean);
          for (const spread of bothRoundings(deviation, decimals)) truth.add(`${mean} ${spread}`);
        }
      }
      for (const mean of means)
        for (let k = 0; k <= Math.round(top * 0.7 * 10 ** decimals); k += 1) {
          const spread = (k / 10 ** decimals).toFixed(decimals);
          const check = checkDeviationGranularity(print(mean), print(spread), n, {
            step: 1,
            minimum: 0,
            maximum: top,
          });
          const flagged = check.verdict === 'does not fit';
          if (truth.has(`${mean} ${spread}`)) expect(flagged, `${mean} ${spread} of ${n}`).toBe(false);
          else {
            impossible += 1;
            if (flagged) caught += 1;
          }
        }
    }
    expect(impossible).toBeGreaterThan(1000);
    expect(caught / impossible).toBeGreaterThan(0.9);
  });

  it('a scale without known ends, and half steps', () => {
    expect(checkDeviationGranularity(print('3.5'), print('0.50'), 2, { step: 1 }).verdict).toBe(
      'does not fit',
    );
    expect(checkDeviationGranularity(print('3.5'), print('0.71'), 2, { step: 1 }).verdict).toBe('fits');
    expect(checkDeviationGranularity(print('-3.5'), print('0.71'), 2, { step: 1 }).verdict).toBe('fits');
    expect(checkDeviationGranularity(print('3.50'), print('0.50'), 2, { step: 1 })).toMatchObject({
      strength: 'question',
    });
    expect(checkDeviationGranularity(print('3.50'), print('0.35'), 2, { step: 0.5 }).verdict).toBe(
      'does not fit',
    );
    expect(checkDeviationGranularity(print('3.25'), print('0.35'), 2, { step: 0.5 }).verdict).toBe('fits');
  });
});

/** A value to some decimals, both ways where it is a tie. */
function bothRoundings(value: number, decimals: number): readonly string[] {
  const scaled = value * 10 ** decimals;
  const whole = [Math.floor(scaled + 0.5 - 1e-9), Math.floor(scaled + 0.5 + 1e-9)];
  return [...new Set(whole.map((each) => (each / 10 ** decimals).toFixed(decimals)))];
}
