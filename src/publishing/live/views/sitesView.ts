import { layersOfEvidence } from '../../../answers/layersOfEvidence.ts';
import type { SitePairs } from '../../../comparison/pairs/comparePairs.ts';
import { networkLayers } from '../../../figures/networkLayers.ts';
import { absoluteEffectsTable, singleArmTable, siteLayersReading } from '../../../tables/sitePairTables.ts';
import { type Table, table } from '../../../tables/table.ts';
import type { ViewDefinition } from './viewContent.ts';

/** Which of two sites leaves fewer? */
export const sitesView: ViewDefinition = {
  id: 'sites',
  name: 'Site against site',
  heading: 'Which of two sites leaves fewer, and how firmly is that known',
  blocks: (analysis) => {
    const { outcome } = analysis;
    const { answered, singleArms, layers } = layersOfEvidence(analysis.answers, outcome.id);
    return [
      { kind: 'sentences', sentences: siteLayersReading(layers) },
      {
        kind: 'table',
        name: 'in-100-shoulders',
        table: absoluteEffectsTable(answered, {
          caption: `${outcome.name}: the difference in 100 shoulders, from the studies that answer`,
        }),
      },
      {
        kind: 'figure',
        name: 'layers-of-evidence',
        title: `${outcome.name}: four ways to set site against site`,
        draw: (frame) =>
          networkLayers(layers, { ...frame, title: `${outcome.name}: four ways to set site against site` }),
        beside: 'sources compared',
      },
      { kind: 'table', name: 'counts-of-pairs', table: pairCountsTable(answered), folded: true },
      { kind: 'caution', text: singleArms.notAComparison },
      {
        kind: 'table',
        name: 'single-arms',
        table: singleArmTable(singleArms, {
          caption: `${outcome.name} in single arms, one site less the other: not a comparison`,
        }),
        folded: true,
      },
    ];
  },
};

/** The counts of each study that holds both sites of a pair. */
function pairCountsTable({ pairs }: SitePairs): Table {
  return table({
    caption: 'Studies that treated patients at both sites, of the body that answers',
    columns: [
      { key: 'pair', heading: 'Comparison' },
      { key: 'study', heading: 'Study' },
      { key: 'first', heading: 'First site', align: 'right' },
      { key: 'second', heading: 'Second site', align: 'right' },
    ],
    rows: pairs.flatMap(({ name, studies }) =>
      studies.map(({ label, treated, comparator }) => ({
        pair: name,
        study: label,
        first: `${treated.events} of ${treated.total}`,
        second: `${comparator.events} of ${comparator.total}`,
      })),
    ),
    notes: pairs
      .filter(({ studies }) => studies.length === 0)
      .map(({ name }) => `${name}: no study holds both.`),
  });
}
