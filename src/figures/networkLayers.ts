import type { AnsweredLayers } from '../answers/layersOfEvidence.ts';
import type { BodyDesign } from '../certainty/bodyOfEvidence.ts';
import type { EvidenceLayer, LayerAnswer } from '../comparison/pairs/siteLayers.ts';
import { countOf } from './formatNumber.ts';
import { type IntervalRowsOptions, intervalRows } from './intervalRows.ts';

export type NetworkLayersOptions = Omit<
  IntervalRowsOptions,
  'values' | 'reference' | 'referenceMeaning' | 'beside'
>;

/** Layers as printed. */
export const layerNames: Readonly<Record<EvidenceLayer, string>> = {
  trials: 'Randomised trials only',
  comparative: 'Other studies of both',
  network: 'Network',
  penalised: 'Network of counts (rare events)',
  'single-arm': 'Single arms: not a comparison',
};

const missing: Readonly<Record<EvidenceLayer, string>> = {
  trials: 'none gives an estimate',
  comparative: 'none gives an estimate',
  network: 'not linked',
  penalised: 'not linked',
  'single-arm': 'a site has no pool',
};

/** The layer that is a body of evidence; single arms are no comparison and never stand out. */
const layerOf: Partial<Record<BodyDesign, EvidenceLayer>> = {
  'randomised trials': 'trials',
  'non-randomised studies': 'comparative',
  network: 'network',
};

/** The odds ratio quoted in the answer, for the layer that answers; undefined for the others. */
function quotedIn(answer: AnsweredLayers['answer'], layer: EvidenceLayer): LayerAnswer['oddsRatio'] {
  const quoted = answer?.quoted;
  if (answer === undefined || quoted?.relative?.measure !== 'odds-ratio' || layerOf[answer.body] !== layer)
    return undefined;
  const { value, lower, upper } = quoted.relative;
  return { value, interval: { lower, upper, level: quoted.level } };
}

/**
 * What does each layer of evidence say of each pair of sites, and where do they part?
 *
 * Odds ratios, first site against second. The layer that answers is set in bold, with the odds ratio as it is quoted;
 * the last row is what single arms would have one believe.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * networkLayers(layersOfEvidence(answersOf(review), 'revision').layers, { width: '190mm' })
 */
export function networkLayers(pairs: readonly AnsweredLayers[], options: NetworkLayersOptions = {}): string {
  return intervalRows(
    pairs.map(({ name, answer, layers }) => ({
      heading: answer === undefined ? name : `${name}: ${answer.verdict}`,
      rows: layers.map(({ layer, studies, oddsRatio }) => {
        const quoted = quotedIn(answer, layer);
        const shown = quoted ?? oddsRatio;
        return {
          label: layerNames[layer],
          detail: shown === undefined ? missing[layer] : countOf(studies, 'study', 'studies'),
          value: shown?.value,
          interval: shown?.interval,
          chosen: quoted !== undefined,
        };
      }),
    })),
    {
      ...options,
      title: options.title ?? 'Four ways to set site against site',
      idPrefix: options.idPrefix ?? 'layers',
      axisTitle: options.axisTitle ?? 'Odds ratio',
      values: 'ratio',
      beside: 'sources compared',
      reference: 1,
      referenceMeaning: 'no difference',
      notes: [
        'Bold: the studies that answer, by the method their number is quoted by; the other rows of studies are pooled as the protocol says. Studies of the network row: those of the pair itself; the others speak by way of a third site. What stands behind the name of a pair is the answer to its question, which single arms never decide where studies compare.',
        ...(options.notes ?? []),
      ],
    },
  );
}
