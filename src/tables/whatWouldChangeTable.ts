import { rowsOfArm } from '../extraction/armEvents.ts';
import type { RowAddress } from '../extraction/rowAddress.ts';
import type { WhatWouldChange } from '../robustness/influence/whatWouldChange.ts';
import type { TrimAndFill } from '../robustness/smallStudies/trimAndFill.ts';
import { percentDigits } from './rateText.ts';
import { type Table, type TableCell, table } from './table.ts';

/** One site with what was tried on its rate; undefined where there was nothing to try. */
export interface SiteChanges {
  readonly name: string;
  readonly studies: number;
  readonly changes: WhatWouldChange | undefined;
}

/** The rate of the two-step pool that the omissions are tried on. */
export const poolOf = ({ omitted, pool }: WhatWouldChange): number =>
  omitted.whole.natural?.value ?? pool.headline!.rate;

/** Whether something else is quoted than that pool. */
export const isQuotedApart = ({ pool }: WhatWouldChange): boolean =>
  pool.quoted !== undefined && pool.headline?.basis !== 'two-step';

/** The lowest and the highest rate that leaving out one study gives, with the study. */
export function extremeOmissions({ omitted }: WhatWouldChange) {
  const answered = omitted.without.flatMap(({ label, natural }) =>
    natural === undefined ? [] : [{ label, rate: natural.value, interval: natural.interval }],
  );
  if (answered.length === 0) return undefined;
  const lowest = answered.reduce((a, b) => (b.rate < a.rate ? b : a));
  const highest = answered.reduce((a, b) => (b.rate > a.rate ? b : a));
  return { lowest, highest };
}

/**
 * One row a site: the rate, the furthest it goes when one study is left out, the range of all subsets, and the studies
 * that stand out. Rates per 100 shoulders.
 *
 * @example
 * whatWouldChangeTable(sites, { caption: 'Revision' })
 */
export function whatWouldChangeTable(
  sites: readonly SiteChanges[],
  options: { readonly caption: string },
): Table {
  const quoted = sites.some(({ changes }) => changes !== undefined && isQuotedApart(changes));
  return table({
    caption: options.caption,
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'studies', heading: 'Studies', align: 'right' },
      ...(quoted ? [{ key: 'quoted', heading: 'Quoted per 100', align: 'right' } as const] : []),
      { key: 'rate', heading: quoted ? `Pool per 100` : 'Rate per 100', align: 'right' },
      { key: 'lowest', heading: 'Lowest without one study' },
      { key: 'highest', heading: 'Highest without one study' },
      { key: 'subsets', heading: '95 in 100 subsets', align: 'right' },
      { key: 'marked', heading: 'Marked as influential' },
    ],
    sources: rowsOf(sites),
    rows: sites.map(({ name, studies, changes }) => {
      if (changes === undefined) return { site: name, studies, rate: 'nothing to leave out' };
      const ends = extremeOmissions(changes);
      const end = (one: { label: string; rate: number } | undefined): TableCell =>
        one && `${percentDigits(one.rate)}, without ${one.label}`;
      const { subsetRates, influence } = changes;
      const marked = influence.studies.filter((study) => study.marked.length > 0);
      return {
        site: name,
        studies,
        ...(quoted ? { quoted: percentDigits(changes.pool.headline!.rate) } : {}),
        rate: percentDigits(poolOf(changes)),
        lowest: end(ends?.lowest),
        highest: end(ends?.highest),
        subsets: subsetRates && `${percentDigits(subsetRates.low)} to ${percentDigits(subsetRates.high)}`,
        marked: marked.length === 0 ? 'none' : marked.map(({ label }) => label).join('; '),
      };
    }),
    notes: [
      ...(quoted
        ? [
            'What is left out is tried on the two-step pool of the column before, which stands beside the quoted rate: a study that moves the one moves the other, though not by the same amount.',
          ]
        : []),
      'Subsets: of two or more arms, pooled by the DerSimonian-Laird method; above the number that can be pooled in full, a sample drawn from a fixed seed.',
      'Marked: residual beyond 1.96, Cook-type distance beyond 0.455, change of the mean beyond one standard error, or more than three times the mean weight. Rules of thumb: with many studies, some are marked by chance.',
    ],
  });
}

/** One row a site: the test of small against large arms, and what filling in missing studies would do. */
export function smallStudiesTable(
  sites: readonly SiteChanges[],
  options: { readonly caption: string },
): Table {
  const filledText = (changes: WhatWouldChange, side: TrimAndFill['side']): TableCell => {
    const answers = changes.filled.flatMap((each) =>
      each.kind === 'trim-and-fill' && each.side === side ? [each] : [],
    );
    if (answers.length === 0) return 'not tried';
    return answers
      .map(({ estimator, missing, before, after }) =>
        missing === 0 || after.natural === undefined || before.natural === undefined
          ? `${estimator}: none`
          : `${estimator}: ${missing} filled in, ${percentDigits(before.natural.value)} becomes ${percentDigits(after.natural.value)}`,
      )
      .join('; ');
  };
  return table({
    caption: options.caption,
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'test', heading: 'Small against large arms, p' },
      { key: 'left', heading: 'If low rates were missing' },
      { key: 'right', heading: 'If high rates were missing' },
    ],
    sources: rowsOf(sites),
    rows: sites.map(({ name, changes }) => {
      if (changes === undefined) return { site: name, test: 'nothing to test' };
      const { sizeTest } = changes;
      return {
        site: name,
        test:
          sizeTest.kind === 'small-study-refusal'
            ? `not tested: ${sizeTest.reason}`
            : sizeTest.pValue === undefined
              ? 'no answer'
              : pText(sizeTest.pValue),
        left: filledText(changes, 'left'),
        right: filledText(changes, 'right'),
      };
    }),
    notes: [
      'Test: arcsine rate against one over the arm’s size, weights the size. Filling in (trim and fill, by the estimators L0 and R0 of its authors) is a sensitivity analysis: the studies filled in do not exist. It is done on the arcsine scale, so that arms without an event take part; the rate before, per 100, is therefore neither quite the pool’s nor the quoted one.',
    ],
  });
}

const rowsOf = (sites: readonly SiteChanges[]): readonly (readonly RowAddress[])[] =>
  sites.map(({ changes }) => changes?.pool.arms.flatMap(rowsOfArm) ?? []);

function pText(p: number): string {
  return p < 0.001 ? 'below 0.001' : p.toFixed(p < 0.1 ? 3 : 2);
}
