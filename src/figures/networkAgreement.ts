import type { NetworkComparison, NetworkResult } from '../comparison/network/networkResult.ts';
import type { NodeSplit } from '../comparison/network/splitNodes.ts';
import type { Interval } from '../numerics/interval.ts';
import { isRatioScale } from './effectAxis.ts';
import { countOf, fixed } from './formatNumber.ts';
import { type IntervalRow, type IntervalRowsOptions, intervalRows } from './intervalRows.ts';
import { pairName, type TreatmentNames } from './networkNames.ts';

export interface NetworkAgreementOptions extends Omit<IntervalRowsOptions, 'values' | 'reference'> {
  readonly names?: TreatmentNames;
  /** Splits of the same network; direct and indirect then come from the refits, with the p-value beside the pair. */
  readonly splits?: readonly NodeSplit[];
  /** Pairs without direct evidence too; default true. */
  readonly allPairs?: boolean;
}

/** Ratios larger than this are not written as numbers. */
const largestLog = 300;

/**
 * Do direct and indirect evidence say the same, pair by pair?
 *
 * Three rows a pair: the studies of the pair, the rest of the network, and both together (set in bold).
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * networkAgreement(network, { splits: splitNodes(network.parts[0]!, network.options) })
 */
export function networkAgreement(result: NetworkResult, options: NetworkAgreementOptions = {}): string {
  const { names = {}, splits = [], allPairs = true, ...rest } = options;
  const ratio = isRatioScale(result.scale);
  const back = (value: number): number =>
    ratio ? Math.exp(Math.max(-largestLog, Math.min(largestLog, value))) : value;
  const row = (
    label: string,
    detail: string | undefined,
    effect: { value: number; interval: Interval } | undefined,
  ): IntervalRow => ({
    label,
    ...(detail === undefined ? {} : { detail }),
    value: effect && back(effect.value),
    interval: effect && {
      lower: back(effect.interval.lower),
      upper: back(effect.interval.upper),
      level: effect.interval.level,
    },
  });
  const groups = result.parts
    .flatMap(({ comparisons }) => comparisons)
    .filter(({ direct }) => allPairs || direct !== undefined)
    .map((comparison: NetworkComparison) => {
      const split = splits.find(
        (each) => each.treatment === comparison.treatment && each.comparator === comparison.comparator,
      );
      const { direct, indirect, network, directStudies, directShare, prediction } = comparison;
      const p = split === undefined ? '' : `, p ${split.pValue < 0.001 ? '< 0.001' : fixed(split.pValue, 2)}`;
      return {
        heading: `${pairName(comparison.treatment, comparison.comparator, names)}${p}`,
        rows: [
          row(
            'Direct',
            direct === undefined ? 'no study' : countOf(directStudies, 'study', 'studies'),
            split?.direct ?? direct,
          ),
          row('Indirect', indirect === undefined ? 'no way round' : undefined, split?.indirect ?? indirect),
          {
            ...row('Network', `${fixed(100 * directShare, 0)}\u00a0% direct`, network),
            ...(prediction === undefined
              ? {}
              : {
                  prediction: {
                    lower: back(prediction.lower),
                    upper: back(prediction.upper),
                    level: prediction.level,
                  },
                }),
            chosen: true,
          },
        ],
      };
    });
  return intervalRows(groups, {
    ...rest,
    title: rest.title ?? 'Direct and indirect evidence',
    idPrefix: rest.idPrefix ?? 'agreement',
    values: ratio ? 'ratio' : 'points',
    reference: ratio ? 1 : 0,
    referenceMeaning: 'no difference',
    notes: [
      'Per cent direct: variance of the network estimate over that of the direct one. p: whether direct and indirect differ; large does not prove that they agree.',
      ...(rest.notes ?? []),
    ],
  });
}
