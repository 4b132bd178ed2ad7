import type { LeaveOneOut } from '../robustness/influence/leaveOneOut.ts';
import { type FigureOptions, figureOptionNames, refuseUnknownOptions } from './figureOptions.ts';
import { type IntervalRow, intervalRows } from './intervalRows.ts';
import { naturalScale } from './naturalAxis.ts';

/**
 * Would the answer stand without any one of its studies?
 *
 * One row a study, the pool without it, with the pool of all in the accent colour and as the dashed line.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * influenceRows(leaveOneOut(estimates), { width: '190mm' })
 */
export function influenceRows(result: LeaveOneOut, options: FigureOptions = {}): string {
  refuseUnknownOptions('influenceRows', options, figureOptionNames);
  const { kind, title } = naturalScale(result.whole.scale);
  const { natural } = result.whole;
  const rows = [...result.without]
    .sort((a, b) => (a.natural?.value ?? 0) - (b.natural?.value ?? 0))
    .map(
      (row): IntervalRow => ({
        label: `without ${row.label}`,
        ...(row.arm === undefined ? {} : { detail: row.arm }),
        value: row.natural?.value,
        interval: row.natural?.interval,
      }),
    );
  return intervalRows(
    [
      {
        heading: 'All studies',
        rows: [
          {
            label: `pool of ${result.whole.estimates.length}`,
            value: natural?.value,
            interval: natural?.interval,
            chosen: true,
          },
        ],
      },
      { heading: 'One left out, lowest answer first', rows },
    ],
    {
      title: 'The pool without each study',
      idPrefix: 'without',
      ...options,
      values: kind,
      axisTitle: title,
      ...(natural === undefined
        ? {}
        : { reference: natural.value, referenceMeaning: 'the pool of all studies' }),
    },
  );
}
