import { isMissingText } from '../../src/extraction/missingText.ts';
import type { AuditKind } from '../../src/robustness/audit/arithmeticCheck.ts';
import { twoArmTests } from '../../src/robustness/audit/twoArmTests.ts';
import { demoRandom } from './demoRandom.ts';
import type { CsvRow } from './demoRows.ts';

interface DemoCounts {
  readonly arms: readonly CsvRow[];
  readonly events: readonly CsvRow[];
  readonly scores: readonly CsvRow[];
}

/** What papers print beyond the counts: sound rows, and rows in which an arithmetic error was planted. */
export interface DemoPrinted {
  readonly rows: readonly CsvRow[];
  readonly planted: readonly { readonly kind: AuditKind; readonly row: CsvRow; readonly what: string }[];
}

interface Pair {
  readonly one: CsvRow;
  readonly other: CsvRow;
  readonly a: number;
  readonly n: number;
  readonly b: number;
  readonly m: number;
}

const isCount = (text: string | undefined): boolean => /^\d+$/.test(text ?? '');
const sameBut = (heading: string, one: CsvRow, other: CsvRow): boolean =>
  ['study', 'outcome', 'definition', 'assessor', 'follow_up_months', 'arm'].every((key) =>
    key === heading ? one[key] !== other[key] : one[key] === other[key],
  );

/**
 * printed.csv of the demo. Sound rows are worked out from the demo's own counts; planted rows are wrong in ways seen in
 * print, one of each kind.
 */
export function demoPrinted(seed: number, { arms, events, scores }: DemoCounts): DemoPrinted {
  const random = demoRandom(seed, 'printed');
  const rows: CsvRow[] = [];
  const planted: { kind: AuditKind; row: CsvRow; what: string }[] = [];
  const used = new Set<string>();
  const locators = ['abstract', 'table 2', 'results, first paragraph'];
  const add = (row: CsvRow, error?: { readonly kind: AuditKind; readonly what: string }): void => {
    const whole = {
      ...row,
      locator: row.locator ?? random.pick(locators),
      extractor: random.pick(['A', 'B']),
    };
    rows.push(whole);
    if (error !== undefined) planted.push({ ...error, row: whole });
  };
  const pairs = events.flatMap((one): Pair[] => {
    const other = events.find((each) => sameBut('arm', one, each));
    if (
      other === undefined ||
      ![one, other].every((row) => isCount(row.events) && isCount(row.eligible_shoulders))
    )
      return [];
    const [a, n, b, m] = [one.events, one.eligible_shoulders, other.events, other.eligible_shoulders].map(
      Number,
    );
    return [{ one, other, a: a ?? 0, n: n ?? 0, b: b ?? 0, m: m ?? 0 }];
  });
  const key = (row: CsvRow): string => `${row.study} ${row.outcome ?? row.scale}`;
  /** Takes a pair nobody has used yet; a seed that has none goes without the row. */
  const withPair = (fits: (pair: Pair) => boolean, plant: (pair: Pair) => void): void => {
    const fitting = pairs.filter((each) => !used.has(key(each.one)) && fits(each));
    if (fitting.length === 0) return;
    const pair = random.pick(fitting);
    used.add(key(pair.one));
    plant(pair);
  };
  const both = ({ one, other }: Pair): CsvRow => ({
    study: one.study ?? '',
    outcome: one.outcome ?? '',
    arm: one.arm ?? '',
    comparator_arm: other.arm ?? '',
    follow_up_months: one.follow_up_months ?? '',
  });
  const alone = ({ one }: Pair): CsvRow => ({ ...both({ one, other: one } as Pair), comparator_arm: '' });
  const pOf = ({ a, n, b, m }: Pair, name: string): number =>
    twoArmTests({ events: a, total: n }, { events: b, total: m }).find((test) => test.name === name)?.p ?? 1;
  const odds = ({ a, n, b, m }: Pair): number => (a * (m - b)) / (b * (n - a));
  const inner = ({ a, n, b, m }: Pair): boolean => a > 4 && b > 4 && n - a > 4 && m - b > 4;

  plantCounts();
  plantScores();
  plantPeople();
  return { rows, planted };

  function plantCounts(): void {
    const tests = [
      "Fisher's exact test",
      'chi-square without correction',
      "chi-square with Yates's correction",
    ];
    for (const [index, name] of tests.entries())
      withPair(inner, (pair) => {
        const p = pOf(pair, name);
        const printed = p < 0.001 ? '<0.001' : p.toFixed(index === 1 ? 3 : 2);
        add({ ...both(pair), statistic: 'p value', printed, test: index === 0 ? 'Fisher' : 'chi-square' });
        add({ ...both(pair), statistic: 'odds ratio', printed: odds(pair).toFixed(2) });
        add({ ...alone(pair), statistic: 'percentage', printed: ((100 * pair.a) / pair.n).toFixed(1) });
        add({ ...alone(pair), statistic: 'count', printed: `${pair.a}/${pair.n}` });
      });
    withPair(
      ({ n, a }) => n > 20 && n < 60 && a > 2,
      (pair) =>
        add(
          { ...alone(pair), statistic: 'percentage', printed: noCountGives(pair.n), total: String(pair.n) },
          { kind: 'percentage', what: 'no whole count gives it' },
        ),
    );
    withPair(
      ({ a, n, m }) => n < 90 && a > 3 && Math.abs(n - m) > 2,
      (pair) =>
        add(
          { ...alone(pair), statistic: 'percentage', printed: ((100 * (pair.a - 1)) / pair.n).toFixed(1) },
          { kind: 'percentage', what: 'one event fewer than the count' },
        ),
    );
    withPair(
      (pair) =>
        pair.a > 1 && pair.a < pair.m && pair.n < 100 && !numbersOf(pair.one).includes(String(pair.m)),
      (pair) =>
        add(
          { ...alone(pair), statistic: 'count', printed: `${pair.a}/${pair.m}` },
          { kind: 'denominator', what: "counted out of the other arm's shoulders" },
        ),
    );
    withPair(
      (pair) =>
        inner(pair) && pOf(pair, "Fisher's exact test") > 0.06 && pOf(pair, 'likelihood ratio') > 0.03,
      (pair) =>
        add(
          { ...both(pair), statistic: 'p value', printed: '0.001', test: 'chi-square' },
          { kind: 'p value', what: 'no test gives it' },
        ),
    );
    const apart = (pair: Pair): boolean => inner(pair) && Math.abs(Math.log(odds(pair))) > 0.3;
    withPair(apart, (pair) =>
      add(
        { ...both(pair), statistic: 'odds ratio', printed: (1 / odds(pair)).toFixed(2) },
        { kind: 'ratio', what: 'the other arm on top' },
      ),
    );
    withPair(apart, (pair) =>
      add(
        { ...both(pair), statistic: 'odds ratio', printed: (odds(pair) * 1.35).toFixed(2) },
        { kind: 'ratio', what: 'not that of the counts' },
      ),
    );
    withPair(inner, (pair) => {
      const { a, n, b, m } = pair;
      const reach = 1.959963984540054 * Math.sqrt(1 / a + 1 / (n - a) + 1 / b + 1 / (m - b));
      const print = (steps: number): string => (odds(pair) * Math.exp(steps * reach)).toFixed(2);
      add({ ...both(pair), statistic: 'odds ratio', printed: print(0) });
      add({ ...both(pair), statistic: 'odds ratio lower limit', printed: print(-1) });
      add(
        { ...both(pair), statistic: 'odds ratio upper limit', printed: print(2.4) },
        { kind: 'interval', what: 'far from what any method gives' },
      );
    });
  }

  /** Every number of shoulders or patients the arm has. */
  function numbersOf(arm: CsvRow): readonly (string | undefined)[] {
    const row = arms.find((each) => each.study === arm.study && each.arm === arm.arm) ?? {};
    return [
      row.shoulders_analysed,
      row.shoulders_enrolled,
      row.patients_analysed,
      row.patients_enrolled,
      arm.eligible_shoulders,
    ];
  }

  function plantScores(): void {
    const finals = scores.filter((row) => row.value_type === 'final' && !isMissingText(row.mean ?? ''));
    const onScale = (scale: string, fits: (row: CsvRow) => boolean, plant: (row: CsvRow) => void): void => {
      const fitting = finals.filter((each) => each.scale === scale && !used.has(key(each)) && fits(each));
      if (fitting.length === 0) return;
      const row = random.pick(fitting);
      used.add(key(row));
      plant(row);
    };
    const of = (row: CsvRow): CsvRow => ({
      study: row.study ?? '',
      outcome: row.scale ?? '',
      arm: row.arm ?? '',
      follow_up_months: row.follow_up_months ?? '',
    });
    const shoulders = (row: CsvRow): number => Number(row.shoulders);
    onScale(
      'ases',
      (row) => isCount(row.shoulders),
      (row) => add({ ...of(row), statistic: 'mean', printed: row.mean ?? '' }),
    );
    onScale(
      'pain-vas',
      (row) => row.scale_maximum === '10' && Number(row.mean) > 1.2,
      (row) =>
        add(
          { ...of(row), statistic: 'mean', printed: (10 * Number(row.mean)).toFixed(1) },
          { kind: 'mean', what: 'outside the scale' },
        ),
    );
    onScale(
      'pain-vas',
      (row) => row.scale_maximum === '10' && shoulders(row) > 15 && shoulders(row) < 50,
      (row) =>
        add(
          {
            ...of(row),
            statistic: 'mean',
            printed: noMeanOf(shoulders(row)),
            step: '1',
            total: row.shoulders ?? '',
          },
          { kind: 'granularity', what: 'no whole answers have this mean' },
        ),
    );
    onScale(
      'ases',
      (row) => (row.sd ?? '') !== '' && shoulders(row) > 25,
      (row) =>
        add(
          {
            ...of(row),
            statistic: 'standard deviation',
            printed: (Number(row.sd) / Math.sqrt(shoulders(row))).toFixed(1),
          },
          { kind: 'standard error', what: 'a standard error under the name of a standard deviation' },
        ),
    );
    onScale(
      'constant',
      (row) => shoulders(row) > 5 && Number(row.mean) > 60,
      (row) => {
        const largest = Math.sqrt(Number(row.mean) * (100 - Number(row.mean)));
        add(
          { ...of(row), statistic: 'standard deviation', printed: (1.15 * largest + 0.5).toFixed(1) },
          { kind: 'spread', what: 'wider than the scale allows' },
        );
      },
    );
  }

  function plantPeople(): void {
    const byStudy = new Map<string, CsvRow[]>();
    for (const arm of arms) byStudy.set(arm.study ?? '', [...(byStudy.get(arm.study ?? '') ?? []), arm]);
    const told = [...byStudy].filter(
      ([, own]) =>
        own.length > 1 &&
        own.every((arm) => isCount(arm.patients_enrolled) && isCount(arm.patients_analysed)),
    );
    const sum = (own: readonly CsvRow[], heading: string): number =>
      own.reduce((total, arm) => total + Number(arm[heading]), 0);
    const withStudy = (plant: (study: string, own: readonly CsvRow[]) => void): void => {
      const free = told.filter(([study]) => !used.has(study));
      if (free.length === 0) return;
      const [study, own] = random.pick(free);
      used.add(study);
      plant(study, own);
    };
    withStudy((study, own) =>
      add({ study, statistic: 'patients enrolled', printed: String(sum(own, 'patients_enrolled')) }),
    );
    withStudy((study, own) =>
      add(
        { study, statistic: 'patients enrolled', printed: String(sum(own, 'patients_enrolled') + 6) },
        { kind: 'people', what: 'more patients than the arms have' },
      ),
    );
    withStudy((study, own) =>
      add(
        {
          study,
          statistic: 'patients lost',
          printed: String(sum(own, 'patients_enrolled') - sum(own, 'patients_analysed') + 3),
        },
        { kind: 'people', what: 'more lost than are missing' },
      ),
    );
  }
}

/** A percentage with one decimal, near a fifth, that no whole number of n gives. */
function noCountGives(n: number): string {
  const step = 100 / n;
  const below = step * Math.floor(20 / step);
  return (below + step / 2).toFixed(1);
}

/** A mean near 3 with two decimals that no n whole numbers have. */
function noMeanOf(n: number): string {
  return (3 + 1 / (2 * n)).toFixed(2);
}
