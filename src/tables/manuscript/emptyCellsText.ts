import { measureName } from '../../wording/ratioText.ts';
import { agreeing, capital, counted } from '../../wording/words.ts';
import type { ManuscriptInput } from './manuscriptInput.ts';

/**
 * What was done with empty cells, said from what was done: which pools were corrected or lost arms, and by how much the
 * ratios and the risks they are said at were.
 */
export function emptyCellsText({ review, outcomes }: ManuscriptInput): string {
  const { zeroEvents } = review.protocol.analysis;
  const pools = outcomes.flatMap(({ pools: { sites } }) => sites.map(({ pool }) => pool));
  const corrected = pools.flatMap(({ twoStep }) =>
    twoStep.estimates.filter(({ addedToEachCell }) => addedToEachCell > 0),
  ).length;
  const left = pools.flatMap(({ twoStep }) => twoStep.leftOut).length;
  const answers = outcomes.flatMap(({ comparisons = [] }) => comparisons);
  const compared = answers.flatMap(({ behind }) => behind.pair ?? []);
  const contrasts = compared.flatMap(({ studies }) => studies).length;
  const correctedContrasts = compared.flatMap(({ pool }) =>
    pool.estimates.filter(({ addedToEachCell }) => addedToEachCell > 0),
  ).length;
  const leftContrasts = compared.flatMap(({ pool }) => pool.leftOut).length;
  const baselines = answers.filter(
    ({ risk, behind: { pair } }) =>
      risk?.source.includes('added to each cell') === true &&
      pair?.studies.some(({ comparator }) => isBare(comparator)) === true,
  ).length;
  const measure =
    answers.find(({ quoted }) => quoted?.relative !== undefined)?.quoted?.relative?.measure ??
    review.protocol.analysis.comparisonMeasure ??
    'odds-ratio';
  const effects = `${measureName(measure)}s`;
  const bare = 'without an event, or with events in every shoulder';
  const amount = zeroEvents === 'leave-out' ? undefined : zeroEvents.addToEachCell;
  const parts = [
    corrected > 0
      ? `for the two-step pools of rates ${amount} was added to both cells of arms ${bare} (${counted(corrected, 'arm')} over all outcomes)`
      : left > 0
        ? `nothing was added to any count for the pools of rates; arms ${bare} (${counted(left, 'arm')} over all outcomes) have no finite value on the scale of analysis and were left out of the two-step pools but kept in the one-step model`
        : 'nothing was added to any count for the pools of rates, and no arm had to be left out for want of events',
    ...(correctedContrasts > 0
      ? [
          `for the ${effects} ${amount} was added to all four cells where one was empty (${correctedContrasts} of ${counted(contrasts, 'comparison')} within studies)`,
        ]
      : []),
    ...(leftContrasts > 0
      ? [
          `${counted(leftContrasts, 'comparison')} within studies ${agreeing(leftContrasts, 'gives', 'give')} no ${measureName(measure)} and ${agreeing(leftContrasts, 'was', 'were')} left out of the two-step pools of comparisons`,
        ]
      : []),
    ...(baselines > 0
      ? [
          `for the risk that a difference is said at 0.5 was added to both cells of comparator arms ${bare} (${counted(baselines, 'pair')} of sites)`,
        ]
      : []),
  ];
  return `${capital(parts.join('; '))}.`;
}

const isBare = ({ events, total }: { readonly events: number; readonly total: number }): boolean =>
  events === 0 || events === total;
