import { answersOf } from '../../answers/answersOf.ts';
import { type AnsweredLayers, layersOfEvidence } from '../../answers/layersOfEvidence.ts';
import type { Review } from '../../extraction/review.ts';
import { siteNames } from '../../extraction/site.ts';
import { forestPlot } from '../../figures/forestPlot.ts';
import { countOf } from '../../figures/formatNumber.ts';
import { networkLayers } from '../../figures/networkLayers.ts';
import { networkMap } from '../../figures/networkMap.ts';
import { studiesNotInNumber } from '../../pooling/armsInNumber.ts';
import { effectEstimandWords } from '../../pooling/quoted/estimandWords.ts';
import { measureName } from '../../wording/ratioText.ts';
import type { OutcomeAtSites } from './planFigures.ts';
import type { PlannedFigure, PrintFigureName } from './printFigure.ts';

/** Fewer studies than this are better told in a sentence than drawn. */
const fewestForForest = 3;

/** Figures that set site against site, for one outcome; none where no study compares two sites. */
export function planComparisons(
  review: Review,
  { outcome }: OutcomeAtSites,
  wanted: (name: PrintFigureName) => boolean,
): readonly PlannedFigure[] {
  if (!wanted('network') && !wanted('site-against-site') && !wanted('pairs')) return [];
  const { network, answered, layers } = layersOfEvidence(answersOf(review), outcome.id);
  const studies = network.parts.reduce((sum, part) => sum + part.studies.length, 0);
  if (studies === 0) return [];
  const figures: PlannedFigure[] = [];
  const common = { outcome: outcome.id } as const;
  const counted = `${countOf(studies, 'study', 'studies')} with two or more sites.`;
  if (wanted('network')) {
    const title = `${outcome.name}: who was compared with whom`;
    figures.push({
      ...common,
      name: 'network',
      file: `network-${outcome.id}`,
      title,
      draw: (frame) => networkMap(network, { ...frame, title }),
      legend: [
        'A node is a site, its area the number of shoulders; a thread is a study between the two sites it compares, unbroken for a randomised trial.',
        counted,
      ],
    });
  }
  if (wanted('site-against-site')) {
    const whole = `${outcome.name}: site against site in layers of evidence`;
    const planned = (file: string, title: string, part: readonly AnsweredLayers[]): PlannedFigure => ({
      ...common,
      name: 'site-against-site',
      file,
      title,
      draw: (frame) => networkLayers(part, { ...frame, title }),
      legend: [
        'Odds ratios, first site against second, from randomised trials alone, from other studies with both sites, from the network of all of them, and from single arms, which are no comparison. Behind the name of a pair stands what may be said of it.',
        counted,
        network.methodsSentence,
      ],
    });
    const file = `site-against-site-${outcome.id}`;
    const half = Math.ceil(layers.length / 2);
    figures.push({
      ...planned(file, whole, layers),
      parts: [
        planned(
          `${file}-1-to-${half}`,
          `${whole}, pairs 1 to ${half} of ${layers.length}`,
          layers.slice(0, half),
        ),
        planned(
          `${file}-${half + 1}-to-${layers.length}`,
          `${whole}, pairs ${half + 1} to ${layers.length} of ${layers.length}`,
          layers.slice(half),
        ),
      ],
    });
  }
  if (wanted('pairs'))
    for (const pair of answered.pairs) {
      const { treatment, comparator, name, pool, effect, quoted, inNumber, notInNumber, answer } = pair;
      if (effect === undefined || pool.studies < fewestForForest) continue;
      const measure = measureName(answered.measure);
      const told = quoted && `quoted ${measure}, ${effectEstimandWords[quoted.estimand]},`;
      const title = `${outcome.name}: ${name.toLowerCase()}`;
      const outside = studiesNotInNumber(notInNumber);
      const [first, second] = [siteNames[treatment], siteNames[comparator]];
      const words = {
        treated: first,
        comparator: second,
        lower: `fewer at ${first.toLowerCase()}`,
        higher: `more at ${first.toLowerCase()}`,
      };
      figures.push({
        ...common,
        name: 'pairs',
        file: `pair-${outcome.id}-${treatment}-against-${comparator}`,
        title,
        draw: (frame) => forestPlot(pair, { ...frame, title, words, answer }),
        legend: [
          `Each line is one study with both sites: events and shoulders of each, ${measure} with its interval, and its weight, which is also the area of the disc. Bar with notch: ${told ?? `pooled ${measure}`} with its interval.${quoted === undefined ? '' : ' Triangles: DerSimonian-Laird, and Mantel-Haenszel as a common-effect answer, where they are not quoted.'}`,
          `${countOf(inNumber.length, 'study', 'studies')}.${outside === '' ? '' : ` ${outside}`}`,
          ...(quoted === undefined ? [] : [quoted.methodsSentence]),
          pool.methodsSentence,
        ],
      });
    }
  return figures;
}
