import { forestPlot } from '../../../figures/forestPlot.ts';
import { heterogeneityTable } from '../../../tables/heterogeneityTable.ts';
import { leftOutTable } from '../../../tables/leftOutTable.ts';
import { predictionReading } from '../../../tables/readings/predictionReading.ts';
import { zeroArmsReading } from '../../../tables/readings/zeroArmsReading.ts';
import { studiesTable } from '../../../tables/studiesTable.ts';
import type { ViewDefinition } from './viewContent.ts';

/** What did each study find? */
export const forestView: ViewDefinition = {
  id: 'forest',
  name: 'Each study',
  heading: 'Every study, and the rate at each site',
  blocks: ({ pools, outcome, leftOut }, { protocol }) => [
    {
      kind: 'figure',
      name: 'each-study',
      title: `${outcome.name}, per 100 shoulders`,
      draw: (frame) => forestPlot(pools, { ...frame, title: `${outcome.name}, per 100 shoulders` }),
    },
    { kind: 'sentences', sentences: [...predictionReading(pools), zeroArmsReading(pools)] },
    {
      kind: 'table',
      name: 'arms',
      table: studiesTable(pools, {
        interval: protocol.analysis.studyInterval,
        caption: 'Arms, with where each was read',
      }),
      folded: true,
    },
    { kind: 'table', name: 'heterogeneity', table: heterogeneityTable(pools), folded: true },
    {
      kind: 'table',
      name: 'left-out',
      table: leftOutTable(leftOut, { caption: 'Rows not used, with the reason' }),
      folded: true,
    },
  ],
};
