import { describe, expect, it } from 'vitest';
import { poolRates } from '../../../src/pooling/poolRates.ts';
import { whatWouldChange } from '../../../src/robustness/influence/whatWouldChange.ts';
import {
  sizeTestReading,
  whatWouldChangeReading,
} from '../../../src/tables/readings/whatWouldChangeReading.ts';
import { smallStudiesTable, whatWouldChangeTable } from '../../../src/tables/whatWouldChangeTable.ts';
import { armsOf } from '../../pooling/estimates.ts';
import { agree } from '../invented.ts';

const counts = Array.from({ length: 12 }, (_, i): [number, number] => [1 + ((i * 5) % 7), 40 + 11 * i]);
const site = (rows: readonly (readonly [number, number])[], options = {}) => {
  const pool = poolRates(armsOf(rows), options);
  return { name: 'Subpectoral', studies: pool.studies, changes: whatWouldChange(pool) };
};

describe('what would change a rate', () => {
  it('agrees with pooling the arms without the study named', () => {
    const { changes } = site(counts);
    for (const [i, row] of changes!.omitted.without.entries()) {
      const rest = poolRates(armsOf(counts).filter((_, j) => j !== i));
      agree(row.natural!.value, rest.headline!.rate, 1e-10);
      agree(row.natural!.interval!.upper, rest.headline!.interval.upper, 1e-10);
    }
    expect(changes!.cloud.subsets).toBe(4095);
  });

  it.each(['logit', 'arcsine', 'double-arcsine', 'raw', 'log'] as const)(
    'has words and rows on the %s scale',
    (scale) => {
      const one = site(counts, { scale });
      expect(whatWouldChangeReading(one, 0.02).join(' ')).toMatch(/Leaving out any one study .* subsets/);
      expect(whatWouldChangeTable([one], { caption: 'x' }).rows).toHaveLength(1);
      expect(smallStudiesTable([one], { caption: 'x' }).rows[0]!.test).toMatch(/^(0\.\d+|below 0\.001)$/);
    },
  );

  it('does not bootstrap every omission', () => {
    const { changes } = site(counts, { prediction: 'bootstrap', bootstrap: { draws: 200, seed: 1 } });
    expect(changes!.omitted.whole.options.prediction).toBe('t-k-minus-2');
  });

  it('samples above fourteen arms', () => {
    const { changes } = site([...counts, ...counts.slice(0, 4)]);
    expect(changes!.cloud).toMatchObject({ taken: 'sample', subsets: 2 ** 14 - 1 });
  });

  it('has nothing to say of no arm, one arm, or no event, and the words say which', () => {
    const words = (rows: readonly (readonly [number, number])[]) =>
      whatWouldChangeReading(site(rows), 0.02)[0];
    expect(words([])).toBe('No study reports this here.');
    expect(words([[2, 40]])).toMatch(/One study only/);
    expect(words(Array(12).fill([0, 30]))).toMatch(/nothing to leave out/);
    expect(sizeTestReading([site([])])).toEqual(['No site has a rate to test.']);
    expect(sizeTestReading([site(counts.slice(0, 5))])[0]).toMatch(/fewer than ten/);
  });

  it('says that one study decides when it does', () => {
    const text = whatWouldChangeReading(
      site([
        [2, 40],
        [3, 55],
        [1, 30],
        [60, 90],
      ]),
      0.02,
    ).join(' ');
    expect(text).toMatch(/read Place 3 2020 again/);
    expect(text).toMatch(/fall apart by whether they hold Place 3 2020/);
  });
});
