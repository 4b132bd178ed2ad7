import { funnelPlot } from '../../../figures/funnelPlot.ts';
import { smallStudiesReading } from '../../../tables/readings/smallStudiesReading.ts';
import { studiesTable } from '../../../tables/studiesTable.ts';
import type { ViewDefinition } from './viewContent.ts';

/** Do small studies tell another story than large ones? */
export const funnelView: ViewDefinition = {
  id: 'funnel',
  name: 'Small and large',
  heading: 'Do small studies tell another story?',
  blocks: ({ pools, outcome }, { protocol }) => [
    {
      kind: 'figure',
      name: 'small-and-large',
      title: `${outcome.name}: rate against size of the arm`,
      draw: (frame) =>
        funnelPlot(pools, { ...frame, title: `${outcome.name}: rate against size of the arm` }),
    },
    { kind: 'sentences', sentences: [smallStudiesReading(pools)] },
    {
      kind: 'table',
      name: 'arms',
      table: studiesTable(pools, {
        interval: protocol.analysis.studyInterval,
        caption: 'Arms, with where each was read',
      }),
      folded: true,
    },
  ],
};
