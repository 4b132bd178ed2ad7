import { lookUpScale } from './findScale.ts';
import type { ScoreRange } from './scaleEndCaution.ts';
import type { ScaleVersion, ScoreDirection, ScoreScale } from './scoreScale.ts';

/** A scale as a protocol defines it; the ranges in use, the one for analysis first. */
export interface ProtocolScaleLike {
  readonly id: string;
  readonly name: string;
  readonly better: ScoreDirection;
  readonly unit?: string | undefined;
  readonly ranges: readonly ScoreRange[];
}

/**
 * Which scale does a protocol mean, its own words and the registry taken together?
 *
 * A scale the registry knows keeps the registry's look-alikes and its direction for each range, and
 * the protocol's first range becomes the reference. Any other is the protocol's own: all of its
 * ranges run in the direction stated.
 *
 * @throws RangeError when the protocol and the registry disagree on which end of the first range is better.
 * @example
 * scaleFromProtocol({ id: 'pain-vas', name: 'Pain', better: 'lower', ranges: [{ minimum: 0, maximum: 100 }] })
 */
export function scaleFromProtocol(own: ProtocolScaleLike): ScoreScale {
  if (own.ranges.length === 0)
    throw new RangeError(`ranges of scale "${own.id}" must hold at least one; received none`);
  const known = lookUpScale(own.id);
  const versions = own.ranges.map((range): ScaleVersion => {
    const same = known?.versions.find(
      (version) => version.range?.minimum === range.minimum && version.range.maximum === range.maximum,
    );
    return same ?? { range, better: own.better, units: [own.unit ?? 'points'] };
  });
  const reference = versions[0]!;
  if (reference.better !== own.better) {
    throw new RangeError(
      `better of scale "${own.id}" must be "${reference.better}" on ${own.ranges[0]!.minimum} to ${own.ranges[0]!.maximum}; received "${own.better}"`,
    );
  }
  return {
    id: own.id,
    name: own.name,
    aliases: known === undefined ? [] : [known.id, ...known.aliases].filter((name) => name !== own.id),
    family: known?.family ?? own.id,
    reference,
    versions,
    rangeMustBeStated: versions.length > 1,
    apartBecause: known?.apartBecause,
    zeroIsNone: (known?.zeroIsNone ?? false) && reference.range?.minimum === 0,
    source: known?.source ?? 'the protocol of the review',
  };
}
