import { type AnalysisScale, contrastScales, rateScales } from '../effects/analysisScale.ts';
import { naturalValue } from '../effects/naturalValue.ts';
import type { Interval } from '../numerics/interval.ts';
import type { Axis } from './axis.ts';
import { effectAxis } from './effectAxis.ts';
import { fixed, percentNumber, ratioNumber } from './formatNumber.ts';
import type { RowValueKind } from './intervalRows.ts';
import { percentAxis } from './percentAxis.ts';

/** How values of an analysis scale are shown: turned back where there is a way back. */
export interface NaturalScale {
  readonly kind: RowValueKind;
  readonly back: (value: number) => number;
  readonly write: (natural: number) => string;
  readonly title: string;
}

const ratioNames: Readonly<Partial<Record<AnalysisScale, string>>> = {
  'log-odds-ratio': 'Odds ratio',
  'log-risk-ratio': 'Risk ratio',
  'log-ratio-of-means': 'Ratio of means',
};

/** What a reader sees of an analysis scale. The double arcsine has no way back without a sample size and stays. */
export function naturalScale(scale: AnalysisScale): NaturalScale {
  const back = (value: number): number => naturalValue(value, scale) ?? value;
  if ((rateScales as readonly string[]).includes(scale) && scale !== 'double-arcsine')
    return { kind: 'rate', back, write: (rate) => percentNumber(rate, 1), title: 'Per 100 shoulders' };
  const ratio = ratioNames[scale];
  if (ratio !== undefined) return { kind: 'ratio', back, write: ratioNumber, title: ratio };
  const same = (value: number): number => value;
  const named = (contrastScales as readonly string[]).includes(scale) || scale === 'double-arcsine';
  return {
    kind: 'points',
    back: same,
    write: (value) => fixed(value, 2),
    title: named ? scale.replaceAll('-', ' ').replace(/^./, (letter) => letter.toUpperCase()) : 'Value',
  };
}

/** An axis for natural values of a scale. */
export function naturalAxis(
  { kind, title }: NaturalScale,
  values: readonly number[],
  intervals: readonly Interval[],
  tickCount: number,
): Axis {
  if (kind === 'rate') return percentAxis('linear', { rates: values, intervals, title, tickCount });
  return effectAxis(kind === 'ratio' ? 'log-odds-ratio' : 'mean-difference', {
    values,
    intervals,
    title,
    tickCount,
  });
}
