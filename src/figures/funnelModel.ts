import { contrastScales } from '../effects/analysisScale.ts';
import type { ClassifiedSite } from '../extraction/site.ts';
import { siteNames } from '../extraction/site.ts';
import { normalQuantile } from '../numerics/distributions.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import type { Axis } from './axis.ts';
import {
  contrastName,
  formatContrast,
  isContrastScale,
  naturalInterval,
  toNatural,
} from './contrastForest.ts';
import { effectAxis, isRatioScale } from './effectAxis.ts';
import { countOf, percentDecimals, percentNumber } from './formatNumber.ts';
import { palette, siteColours } from './palette.ts';
import { percentAxis, type RateSpacing } from './percentAxis.ts';
import { toldAs } from './quotedWords.ts';

/** One study on a funnel plot; `size` is its standard error or its number of shoulders. */
export interface FunnelPoint {
  readonly label: string;
  readonly site: ClassifiedSite | undefined;
  readonly colour: string;
  readonly value: number;
  readonly size: number;
}

/** Everything a funnel plot says, before it has a size. */
export interface FunnelModel {
  readonly kind: 'standard-error' | 'sample-size';
  readonly points: readonly FunnelPoint[];
  readonly studies: number;
  readonly axis: (tickCount: number) => Axis;
  /** Axis units of "no difference", where the regions of significance are centred. */
  readonly centre: number | undefined;
  readonly pooled: readonly { readonly value: number; readonly colour: string; readonly name: string }[];
  readonly directions: { readonly lower: string; readonly higher: string } | undefined;
  readonly sizeTitle: string;
  readonly notes: readonly string[];
  readonly description: string;
  readonly defaultTitle: string;
}

/** Fewest studies from which asymmetry may be discussed at all (Sterne 2011, BMJ 343:d4002, recommendation 1). */
export const fewestForAsymmetry = 10;

/** Two-sided levels whose regions are shaded, and the width of each in standard errors. */
export const significanceLevels = [0.1, 0.05, 0.01] as const;
export const significanceWidths = significanceLevels.map((level) => normalQuantile(1 - level / 2));

export const asymmetryNote = (studies: number): string =>
  studies < fewestForAsymmetry
    ? `${countOf(studies, 'study', 'studies')}, fewer than ${fewestForAsymmetry}: no claim about asymmetry can be made from this picture.`
    : 'Asymmetry has many causes (different patients, definitions, chance); it does not prove that studies are missing.';

export function contrastFunnel(
  result: PooledResult,
  directions: { readonly lower: string; readonly higher: string } | undefined,
): FunnelModel {
  const { scale, natural } = result;
  if (!isContrastScale(scale))
    throw new RangeError(
      `funnelPlot draws a PooledResult on ${contrastScales.join(', ')}; received '${scale}' (give a rate as PooledRate)`,
    );
  const format = formatContrast(scale);
  const points = result.estimates.map((estimate) => ({
    label: estimate.label,
    site: undefined,
    colour: palette.comparison,
    value: toNatural(scale, estimate.value),
    size: Math.sqrt(estimate.variance),
  }));
  const largest = Math.max(0, ...points.map(({ size }) => size));
  const half = (significanceWidths.at(-1) ?? 0) * largest;
  const studies = points
    .map(({ label, value, size }) => `${label} ${format(value)} (standard error ${size.toFixed(2)})`)
    .join('; ');
  return {
    kind: 'standard-error',
    points,
    studies: result.studies,
    axis: (tickCount) =>
      effectAxis(scale, {
        values: points.map(({ value }) => value),
        intervals: [naturalInterval(scale, { lower: -half, upper: half, level: 0.99 })],
        title: contrastName(scale),
        tickCount,
      }),
    centre: 0,
    pooled:
      natural === undefined ? [] : [{ value: natural.value, colour: palette.comparison, name: 'Pooled' }],
    directions,
    sizeTitle: `Standard error${isRatioScale(scale) ? ' (log)' : ''}`,
    notes: [
      `Greys: where the p value of a study against no difference would lie.${natural === undefined ? '' : ` Dashed line: pooled ${format(natural.value)}.`}`,
      asymmetryNote(result.studies),
    ],
    description: `Funnel plot of ${countOf(result.studies, 'study', 'studies')}: ${contrastName(scale).toLowerCase()} against standard error. ${natural === undefined ? 'No pooled estimate.' : `Pooled ${format(natural.value)}.`} ${asymmetryNote(result.studies)} Studies: ${studies === '' ? 'none' : studies}.`,
    defaultTitle: 'Effects against their precision',
  };
}

export function rateFunnel(pools: SitePools | PooledRate, spacing: RateSpacing, unit: string): FunnelModel {
  const single = pools.kind === 'pooled-rate';
  const sites = single ? [{ site: undefined, pool: pools }] : pools.sites;
  const points = sites.flatMap(({ site, pool }) =>
    pool.arms
      .filter(({ total }) => total > 0)
      .map((arm) => ({
        label: arm.label,
        site,
        colour: site === undefined ? palette.comparison : siteColours[site],
        value: arm.events / arm.total,
        size: arm.total,
      })),
  );
  const pooled = sites.flatMap(({ site, pool }) =>
    pool.headline === undefined
      ? []
      : [
          {
            value: pool.headline.rate,
            colour: site === undefined ? palette.comparison : siteColours[site],
            name: site === undefined ? toldAs(pool).label : siteNames[site],
          },
        ],
  );
  const studies = new Set(sites.flatMap(({ pool }) => pool.arms.map(({ study }) => study))).size;
  const decimals = percentDecimals(Math.max(0, ...pooled.map(({ value }) => value)));
  const percent = (rate: number) => percentNumber(rate, decimals);
  const arms = points
    .map(
      ({ label, site, value, size }) =>
        `${label}${site === undefined ? '' : ` (${siteNames[site].toLowerCase()})`} ${percent(value)} % of ${size}`,
    )
    .join('; ');
  const lines = pooled
    .map(({ name, value }) => `${single ? '' : `${name} `}${percent(value)}\u00a0%`)
    .join(', ');
  const meanings = [...new Set(sites.flatMap(({ pool }) => (pool.headline ? [toldAs(pool).meaning] : [])))];
  const told = meanings[0] === 'pooled rate' ? 'pooled' : `${meanings.join(', or ')}:`;
  const fewest = single
    ? studies
    : Math.min(
        ...sites.map(({ pool }) => pool.studies).filter((count) => count > 0),
        Number.MAX_SAFE_INTEGER,
      );
  const note = asymmetryNote(fewest === Number.MAX_SAFE_INTEGER ? 0 : fewest);
  return {
    kind: 'sample-size',
    points,
    studies,
    axis: (tickCount) =>
      percentAxis(spacing, {
        rates: points.map(({ value }) => value),
        intervals: [],
        title: `${unit === 'shoulder' ? 'Shoulders' : `${unit}s`} with the event, %`,
        tickCount,
      }),
    centre: undefined,
    pooled,
    directions: undefined,
    sizeTitle: `${unit === 'shoulder' ? 'Shoulders' : `${unit}s`} in the arm`,
    notes: [
      `Size stands on the upright axis, because the standard error of a low rate moves with the rate itself (Hunter 2014).${lines === '' ? '' : ` Dashed: ${told} ${lines}.`}`,
      single ? note : `Smallest site: ${note}`,
      ...(single ? [] : [pools.notAComparison]),
    ],
    description: `Funnel plot of ${countOf(points.length, 'arm')} of ${countOf(studies, 'study', 'studies')}: rate in per cent against number of ${unit}s. ${lines === '' ? 'No pooled rate.' : `${told.charAt(0).toUpperCase()}${told.slice(1).replace(/:$/, '')}: ${lines}.`} ${note} Arms: ${arms === '' ? 'none' : arms}.`,
    defaultTitle: 'Rates against the size of the arm',
  };
}
