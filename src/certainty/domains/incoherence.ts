import type { NodeSplit } from '../../comparison/network/splitNodes.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { DomainProposal } from '../domainProposal.ts';
import { hundredText, thresholdsOf } from '../perHundred.ts';

/**
 * Do direct and indirect evidence of a network contradict each other by what matters?
 *
 * One level where p of the node split is below 0.1 and the two lie further apart than the smallest difference that matters;
 * two where it is below 0.01 and they lie further apart than a large one. Ours.
 *
 * @param hundred a difference in 100 from an effect on the analysis scale
 */
export function incoherenceOf(
  splits: readonly NodeSplit[] | undefined,
  one: string,
  other: string,
  hundred: (value: number) => number,
  outcome: EventsOutcome,
): DomainProposal {
  const split = splits?.find(
    ({ treatment, comparator }) =>
      (treatment === one && comparator === other) || (treatment === other && comparator === one),
  );
  if (split === undefined)
    return {
      proposed: 0,
      evidence: ['Direct and indirect evidence cannot be told apart, so incoherence cannot be asked.'],
    };
  const sign = split.treatment === one ? 1 : -1;
  const [direct, indirect] = [hundred(sign * split.direct.value), hundred(sign * split.indirect.value)];
  const { material, large } = thresholdsOf(outcome);
  const gap = Math.abs(direct - indirect);
  const levels = split.pValue < 0.01 && gap > large ? -2 : split.pValue < 0.1 && gap > material ? -1 : 0;
  const words = `Direct ${hundredText(direct)} and indirect ${hundredText(indirect)} in 100, p of the difference ${split.pValue < 0.001 ? 'below 0.001' : split.pValue.toPrecision(2)}; a gap of ${hundredText(material)} in 100 matters.`;
  return { proposed: levels, evidence: [words], ...(levels === 0 ? {} : { decisive: [words] }) };
}
