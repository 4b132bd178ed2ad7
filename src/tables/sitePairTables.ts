import type { SitePairs } from '../comparison/pairs/comparePairs.ts';
import type { SingleArmContrast } from '../comparison/pairs/singleArmContrast.ts';
import type { PairLayers } from '../comparison/pairs/siteLayers.ts';
import type { NumberNeeded } from '../effects/absoluteEffect.ts';
import { siteNames } from '../extraction/site.ts';
import { ratioText } from '../wording/ratioText.ts';
import { signedFixed } from '../wording/words.ts';
import { pText } from './networkTables.ts';
import { type Table, table } from './table.ts';

const signed = (proportion: number): string => signedFixed(100 * proportion, 1);

/**
 * A number needed to treat as printed. Where the interval includes no effect it has a smallest value in either direction
 * and no largest (Altman DG, BMJ 1998;317:1309).
 */
export function numberNeededText(needed: NumberNeeded): string {
  if (needed.kind === 'one direction')
    return `${needed.value} (${needed.from} to ${needed.to}) for ${needed.direction}`;
  const ways = [
    ...(needed.oneFewer === undefined ? [] : [`at least ${needed.oneFewer} for one fewer`]),
    ...(needed.oneMore === undefined ? [] : [`at least ${needed.oneMore} for one more`]),
  ];
  return [...ways, 'no difference is within the interval'].join('; ');
}

/** What each pair's pooled effect means in 100 shoulders, at each baseline risk. */
export function absoluteEffectsTable(pairs: SitePairs, options: { readonly caption?: string } = {}): Table {
  const pooled = pairs.pairs.filter(({ absolute }) => absolute.length > 0);
  return table({
    caption: options.caption ?? 'What the difference means in 100 shoulders',
    columns: [
      { key: 'pair', heading: 'Comparison' },
      { key: 'studies', heading: 'Studies', align: 'right' },
      { key: 'baseline', heading: 'Of 100 at the second site', align: 'right' },
      { key: 'source', heading: 'Taken from' },
      { key: 'difference', heading: 'More or fewer in 100 at the first', align: 'right' },
      { key: 'needed', heading: 'Number needed to treat' },
    ],
    sources: pooled.flatMap(({ absolute, pool }) =>
      absolute.map(() => pool.estimates.flatMap(({ rows }) => rows)),
    ),
    rows: pooled.flatMap(({ name, pool, absolute }) =>
      absolute.map(({ baselineRisk, baselineSource, difference, numberNeeded }) => ({
        pair: name,
        studies: pool.studies,
        baseline: (100 * baselineRisk).toFixed(1),
        source: baselineSource,
        difference: `${signed(difference.value)} (${signed(difference.lower)} to ${signed(difference.upper)})`,
        needed: numberNeededText(numberNeeded),
      })),
    ),
    notes: [
      ...pairs.pairs
        .filter(({ absolute }) => absolute.length === 0)
        .map(({ name }) => `${name}: no study gives an estimate.`),
      ...pairs.pairs.flatMap(({ name, baselinesLeftOut }) =>
        baselinesLeftOut.map((text) => `${name}: ${text}.`),
      ),
    ],
  });
}

/** The rates that single arms show, one less the other. Never without its warning. */
export function singleArmTable(
  contrast: SingleArmContrast,
  options: { readonly caption?: string } = {},
): Table {
  const { test } = contrast;
  return table({
    caption: options.caption ?? 'Single arms side by side: not a comparison',
    columns: [
      { key: 'pair', heading: 'Not a comparison' },
      { key: 'difference', heading: 'Rate less rate, per 100', align: 'right' },
      { key: 'ratio', heading: 'Ratio of odds', align: 'right' },
    ],
    rows: contrast.differences.map(({ name, rateDifference, oddsRatio }) => ({
      pair: name,
      difference:
        rateDifference &&
        `${signed(rateDifference.value)} (${signed(rateDifference.interval.lower)} to ${signed(rateDifference.interval.upper)})`,
      ratio:
        oddsRatio &&
        [oddsRatio.value, oddsRatio.interval.lower, oddsRatio.interval.upper]
          .map((each) => ratioText(Math.log(each)))
          .reduce(
            (text, each, i) => (i === 0 ? each : i === 1 ? `${text} (${each}` : `${text} to ${each})`),
            '',
          ),
    })),
    notes: [
      contrast.notAComparison,
      ...(test === undefined
        ? []
        : [
            `Test of differences between sites: p ${pText(test.separateVariances.pValue) ?? 'has no answer'} with a between-study variance for each site, p ${pText(test.commonVariance.pValue) ?? 'has no answer'} with one for all. It tests whether rates differ, not whether sites cause it.`,
          ]),
    ],
  });
}

/** One sentence for each pair: what is established, suggested, unknown. */
export function siteLayersReading(pairs: readonly PairLayers[]): readonly string[] {
  return pairs.map(({ treatment, name, verdict, direction, reason, singleArmsMislead }) => {
    const said =
      direction === undefined
        ? 'unknown'
        : `${direction} events at ${siteNames[treatment].toLowerCase()}, ${verdict}`;
    const warning = singleArmsMislead
      ? ' Single arms claim a difference that no comparative layer bears out.'
      : '';
    return `${name}: ${said}. ${reason}${warning}`;
  });
}
