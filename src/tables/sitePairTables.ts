import type { AnsweredLayers } from '../answers/layersOfEvidence.ts';
import { printAnswer } from '../answers/printAnswer.ts';
import { verdictClause } from '../answers/verdictWords.ts';
import { bodyName } from '../certainty/bodyInWords.ts';
import { differenceInHundred } from '../certainty/perHundred.ts';
import type { SitePairs } from '../comparison/pairs/comparePairs.ts';
import type { SingleArmContrast } from '../comparison/pairs/singleArmContrast.ts';
import type { NumberNeeded } from '../effects/absoluteEffect.ts';
import { studiesNotInNumber } from '../pooling/armsInNumber.ts';
import { rateDigits } from '../wording/numbers.ts';
import { ratioText } from '../wording/ratioText.ts';
import { pText } from './networkTables.ts';
import { type Table, table } from './table.ts';

const inHundred = ({ value, lower, upper }: { value: number; lower: number; upper: number }): string =>
  differenceInHundred({ value: 100 * value, lower: 100 * lower, upper: 100 * upper })
    .replace(' in 100', '')
    .replace(/^No/, 'no');

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
      // The pool of the studies' effects on its analysis scale, which need not be the number that is quoted.
      ...['two_step_scale', 'two_step_mean', 'two_step_standard_error', 'two_step_p'].map((key) => ({
        key,
        heading: key,
        shownIn: 'file' as const,
      })),
    ],
    sources: pooled.flatMap(({ absolute, pool }) =>
      absolute.map(() => pool.estimates.flatMap(({ rows }) => rows)),
    ),
    // The first risk is the one the answer is said at; further rows say the same effect at other risks.
    answers: pooled.flatMap(({ answer, absolute }) =>
      absolute.map((_, at) => (at === 0 ? answer : undefined)),
    ),
    rowsBeside: pooled.flatMap(({ absolute }) =>
      absolute.map((_, at) => (at === 0 ? undefined : 'other risks')),
    ),
    rows: pooled.flatMap(({ name, pool, absolute }) =>
      absolute.map(
        ({ baselineRisk, baselineSource, baselineInterval, baselineKnown, difference, numberNeeded }) => ({
          pair: name,
          studies: pool.studies,
          baseline: baselineKnown
            ? `${rateDigits(100 * baselineRisk)}, taken as known`
            : `${rateDigits(100 * baselineRisk)} (${rateDigits(100 * baselineInterval.lower)} to ${rateDigits(100 * baselineInterval.upper)})`,
          source: baselineSource,
          difference: inHundred(difference),
          needed: numberNeededText(numberNeeded),
          two_step_scale: pool.scale,
          two_step_mean: pool.mean?.value,
          two_step_standard_error: pool.mean?.standardError,
          two_step_p: pool.mean?.pValue,
        }),
      ),
    ),
    notes: [
      ...pairs.pairs
        .filter(({ absolute }) => absolute.length === 0)
        .map(({ name }) => `${name}: no study gives an estimate.`),
      ...pooled.flatMap(({ name, notInNumber }) =>
        notInNumber.length === 0 ? [] : [`${name}: ${studiesNotInNumber(notInNumber)}`],
      ),
      ...pairs.pairs.flatMap(({ name, baselinesLeftOut }) =>
        baselinesLeftOut.map((text) => `${name}: ${text}.`),
      ),
    ],
  });
}

const limitsOf = ({ lower, upper }: { lower: number; upper: number }) => ({ lower, upper });

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
        rateDifference && inHundred({ value: rateDifference.value, ...limitsOf(rateDifference.interval) }),
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

/** One sentence for each pair: what may be said, how sure one may be, and whether single arms mislead. */
export function siteLayersReading(pairs: readonly AnsweredLayers[]): readonly string[] {
  return pairs.flatMap(({ name, answer, singleArmsMislead }) => {
    if (answer === undefined) return [];
    const { level, confirmed } = answer.certainty;
    const sure =
      level === undefined
        ? ''
        : ` (${level} certainty${confirmed ? '' : ', proposed'}; ${bodyName(answer.body)})`;
    const numbers = printAnswer(answer);
    const warning = singleArmsMislead
      ? ' Single arms claim a difference that no comparative layer bears out.'
      : '';
    return [
      `${name}: ${verdictClause(answer)}${sure}.${numbers === undefined ? '' : ` In numbers: ${numbers}.`}${warning}`,
    ];
  });
}
