import type { QuotedArm } from '../../../src/pooling/quoted/quotedRate.ts';
import type { TwoArmTable } from '../../../src/pooling/rareEvents/twoArmTable.ts';

export const countsOf = (rows: readonly (readonly [number, number])[]) =>
  rows.map(([events, total]) => ({ events, total }));

export const armsOf = (rows: readonly (readonly [number, number])[]): QuotedArm[] =>
  rows.map(([events, total], i) => ({ study: `s${i}`, label: `Study ${i}`, events, total }));

export const tablesOf = (
  rows: readonly { readonly treated: [number, number]; readonly comparator: [number, number] }[],
): TwoArmTable[] =>
  rows.map(({ treated, comparator }, i) => ({
    study: `s${i}`,
    label: `Study ${i}`,
    treated: { events: treated[0], total: treated[1] },
    comparator: { events: comparator[0], total: comparator[1] },
    rows: [],
  }));

export const logOdds = (rate: number): number => Math.log(rate / (1 - rate));
