import { type StudyQuality, studyQuality } from '../../certainty/quality/studyQuality.ts';
import { flowCounts } from '../../extraction/flowCounts.ts';
import type { Review } from '../../extraction/review.ts';
import { flowDiagram } from '../../figures/flowDiagram.ts';
import { countOf } from '../../figures/formatNumber.ts';
import { missingMatrix } from '../../figures/missingMatrix.ts';
import { qualityGrid } from '../../figures/qualityGrid.ts';
import { missingEvidence } from '../../robustness/missing/missingEvidence.ts';
import type { PlannedFigure, PrintFigureName } from './printFigure.ts';

/** Figures about the review itself: who reports what, how well it was done, and how the studies were found. */
export function planReview(
  review: Review,
  wanted: (name: PrintFigureName) => boolean,
): readonly PlannedFigure[] {
  return [
    ...(wanted('reporting') ? [planReporting(review)] : []),
    ...(wanted('quality') && review.judgements.length > 0 ? [planQuality(studyQuality(review))] : []),
    ...(wanted('flow') && review.flow.length > 0 ? [planFlow(review)] : []),
  ];
}

function planQuality(quality: readonly StudyQuality[]): PlannedFigure {
  const whole = 'How well each study was done, item by item';
  const planned = (file: string, title: string, part: readonly StudyQuality[]): PlannedFigure => ({
    name: 'quality',
    file,
    outcome: undefined,
    title,
    draw: (frame) => qualityGrid(part, { ...frame, title }),
    legend: [
      'One block an instrument, one row a study, one column an item; more ink is more concern. A study that nobody judged is named and never read as low.',
      `${countOf(part.length, 'study', 'studies')}, ${part.filter(({ judgement }) => judgement !== undefined).length} of them judged.`,
    ],
  });
  const cut = (from: number, to: number): PlannedFigure => {
    const title = `${whole}, studies ${from + 1} to ${to} of ${quality.length}`;
    const one = planned(`quality-${from + 1}-to-${to}`, title, quality.slice(from, to));
    const middle = Math.ceil((from + to) / 2);
    return to - from < 2 ? one : { ...one, parts: [cut(from, middle), cut(middle, to)] };
  };
  return { ...cut(0, quality.length), ...planned('quality', whole, quality) };
}

function planReporting(review: Review): PlannedFigure {
  const evidence = missingEvidence(review);
  const title = 'Which study reports which outcome';
  return {
    name: 'reporting',
    file: 'reporting',
    outcome: undefined,
    title,
    draw: (frame) => missingMatrix(evidence, { ...frame, title }),
    legend: [
      `${countOf(evidence.studies.length, 'study', 'studies')} against ${countOf(evidence.outcomes.length, 'outcome')}. A filled disc: in the analysis; the lesser marks are named in the figure. Silence is not a report of no events.`,
    ],
  };
}

function planFlow(review: Review): PlannedFigure {
  const flow = flowCounts(review.flow, review.studies);
  const title = 'From search to inclusion';
  return {
    name: 'flow',
    file: 'flow',
    outcome: undefined,
    title,
    draw: (frame) => flowDiagram(flow, { ...frame, title }),
    legend: [
      `Records found, excluded and included, with the boxes of the PRISMA 2020 flow diagram (Page et al. 2021, BMJ 372:n71). Last search: ${review.protocol.lastSearch}.`,
    ],
  };
}
