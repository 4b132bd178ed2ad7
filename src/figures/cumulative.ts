import type { Estimate } from '../effects/estimate.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import type { Cumulative } from '../robustness/influence/cumulative.ts';
import { type FigureOptions, figureOptionNames, refuseUnknownOptions } from './figureOptions.ts';
import { countOf } from './formatNumber.ts';
import { type IntervalRow, intervalRows } from './intervalRows.ts';
import { naturalScale } from './naturalAxis.ts';

/**
 * How did the answer come about, study after study?
 *
 * One row a step: what came in, and the pool of everything in so far. The last is the pool of all.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 *
 * Source: Lau J, Antman EM, Jimenez-Silva J et al., N Engl J Med 1992;327:248-254.
 *
 * @example
 * cumulativePlot(cumulativePool(estimates, { by: yearOf, byName: 'year' }), { width: '190mm' })
 */
export function cumulativePlot(
  series: Cumulative<Estimate, PooledResult>,
  options: FigureOptions = {},
): string {
  refuseUnknownOptions('cumulativePlot', options, figureOptionNames);
  const last = series.steps.at(-1);
  const { kind, title } = naturalScale(last?.result.scale ?? 'plain');
  const rows = series.steps.map(
    ({ at, added, count, result }, step): IntervalRow => ({
      label: `${series.byName === 'precision' ? '' : `${Number(at.toPrecision(6))}: `}${
        added.length === 1 ? added[0]!.label : `${added[0]!.label} and ${added.length - 1} more`
      }`,
      detail: `${count} in`,
      value: result.natural?.value,
      interval: result.natural?.interval,
      chosen: step === series.steps.length - 1,
    }),
  );
  const natural = last?.result.natural;
  return intervalRows(
    [
      {
        heading: `Added by ${series.byName}, ${series.direction}: ${countOf(rows.length, 'step')}`,
        rows,
      },
    ],
    {
      title: `The pool as it grew, by ${series.byName}`,
      idPrefix: 'cumulative',
      ...options,
      values: kind,
      axisTitle: title,
      ...(natural === undefined
        ? {}
        : { reference: natural.value, referenceMeaning: 'the pool of all studies' }),
    },
  );
}
