import type { Protocol } from '../../extraction/protocol.ts';
import type { ClinicalThreshold } from './clinicalThresholds.ts';
import { scaleFromProtocol } from './scaleFromProtocol.ts';

/**
 * Which difference in points did the protocol call material for this score?
 *
 * On the first scale the outcome accepts, in its first range, ready for `probabilityDifferenceExceeds`.
 *
 * @throws RangeError when the outcome is no score of the protocol, or its first scale is not defined there.
 * @example
 * thresholdFromProtocol(review.protocol, 'pain').value
 */
export function thresholdFromProtocol(protocol: Protocol, outcomeId: string): ClinicalThreshold {
  const outcome = protocol.outcomes.find((each) => each.id === outcomeId);
  if (outcome?.kind !== 'score') {
    const known = protocol.outcomes.filter((each) => each.kind === 'score').map((each) => each.id);
    throw new RangeError(`outcome must be one of ${known.join(', ')}; received "${outcomeId}"`);
  }
  const own = protocol.scales.find((scale) => scale.id === outcome.scales[0]);
  if (own === undefined) {
    throw new RangeError(
      `the first scale of "${outcomeId}" must be one of the protocol; received "${outcome.scales[0]}"`,
    );
  }
  const { id, reference } = scaleFromProtocol(own);
  return {
    id: `protocol-${outcomeId}`,
    kind: 'minimal-important-change',
    scale: id,
    range: own.ranges[0]!,
    better: reference.better,
    value: outcome.thresholdsPoints.materialDifference,
    population: protocol.population,
    people: undefined,
    source: outcome.thresholdsPoints.source,
    note: 'Stated in the protocol.',
  };
}
