import type { CheckedClaim } from '../robustness/claims/checkedClaim.ts';
import type { InformationSize } from '../robustness/claims/informationSize.ts';
import { percentDigits, percentLimits, percentText } from './rateText.ts';
import { type Table, type TableRow, table } from './table.ts';

const chance = (probability: number): string =>
  probability <= 0 ? 'under 0.01 %' : probability >= 1 ? 'over 99.99 %' : percentText(probability);

/** Everything a claim's numbers say, one row each. */
export function claimTable(checked: CheckedClaim, options: { readonly caption?: string } = {}): Table {
  const { claim, exact, bayesian, oneSided, limit, comparison, pool } = checked;
  const rows: TableRow[] = [
    { what: 'Series', value: `${claim.events} of ${claim.total}, ${percentText(checked.rate)}` },
    { what: 'Exact interval', value: `${percentLimits(exact)} %` },
    { what: "Bayesian interval (Jeffreys' prior)", value: `${percentLimits(bayesian)} %` },
    { what: 'One-sided exact upper limit', value: percentText(oneSided.upper) },
  ];
  if (limit !== undefined)
    rows.push(
      { what: `Under ${percentText(limit.limit)}`, value: limit.verdict },
      { what: 'Probability that the true rate is', value: chance(limit.probabilityBelow) },
      {
        what: 'Shoulders without any event to say so',
        value: `${limit.withoutEvent.twoSided} (one-sided ${limit.withoutEvent.oneSided})`,
      },
      { what: 'Shoulders in all with these events', value: limit.withTheseEvents },
    );
  if (comparison !== undefined && claim.comparator !== undefined) {
    const { difference, fragility, balance } = comparison;
    const points = (value: number): string => (100 * value).toFixed(1).replace('-', '\u2212');
    rows.push(
      { what: 'Compared with', value: `${claim.comparator.events} of ${claim.comparator.total}` },
      {
        what: 'Difference per 100 (interval)',
        value: `${points(difference.value)} (${points(difference.interval.lower)} to ${points(difference.interval.upper)})`,
      },
      { what: "Fisher's exact test, p", value: Number(comparison.fisherP.toPrecision(2)) },
      { what: 'Probability that the rate is the lower one', value: chance(comparison.probabilityLower) },
      {
        what: 'Shoulders that decide it',
        value: fragility.fewest ?? `more than ${fragility.searched}`,
      },
      { what: 'Published fragility index', value: fragility.index },
      {
        what: 'Compares as well as two arms of',
        value: `${Math.round(balance.asGoodAsEach)}${balance.lopsided ? ', too lopsided' : ''}`,
      },
    );
  }
  if (pool?.status === 'computed')
    rows.push(
      {
        what: 'Events the pooled studies lead one to expect',
        value: `${pool.expected.lower} to ${pool.expected.upper}`,
      },
      { what: 'Chance of so few, of so many', value: `${chance(pool.atMost)}, ${chance(pool.atLeast)}` },
    );
  return table({
    caption: options.caption ?? 'The claim in numbers',
    columns: [
      { key: 'what', heading: 'What' },
      { key: 'value', heading: 'Value' },
    ],
    rows,
  });
}

/** What a comparison needs, has and lacks. */
export interface NamedInformation {
  readonly outcome: string;
  readonly detail?: string;
  /** Undefined where there is no baseline to plan from. */
  readonly size: InformationSize | undefined;
}

/** How large the next trial of each outcome must be, and what the studies at hand already hold. */
export function informationTable(
  rows: readonly NamedInformation[],
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'What the next study should be',
    columns: [
      { key: 'outcome', heading: 'Outcome' },
      { key: 'rates', heading: 'Rates to tell apart, %' },
      { key: 'needed', heading: 'Shoulders in both arms', align: 'right' },
      { key: 'held', heading: 'Held by trials', align: 'right' },
      { key: 'lacking', heading: 'Still lacking', align: 'right' },
    ],
    rows: rows.map(({ outcome, size }) => ({
      outcome,
      rates: size === undefined ? 'no rate to plan from' : size.trial.rates.map(percentDigits).join(' and '),
      needed: size?.needed,
      held: size?.held,
      lacking: size?.lacking,
    })),
    notes: rows
      .flatMap(({ size }) => (size === undefined ? [] : [size]))
      .slice(0, 1)
      .map(
        ({ trial }) =>
          `Two-sided test at ${Number((1 - trial.options.level).toPrecision(3))}, power ${trial.options.power}; without allowance for loss to follow-up.`,
      ),
  });
}
