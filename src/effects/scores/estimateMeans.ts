import type { Estimate, LeftOut } from '../estimate.ts';
import { type ScoreKind, scoreKinds } from './harmoniseScore.ts';
import type { ScoreArm } from './scoreArm.ts';
import { requireGroup, requireKnownOptions, requireOneOf } from './scoreInputs.ts';

export interface EstimateMeansOptions {
  /** Scale averaged, by id: always stated, so that two sites are never averaged on two scales unseen. */
  readonly scale: string;
  /** Kind of value averaged, default `final`. */
  readonly kind?: ScoreKind;
}

/** Estimates ready to be pooled, and the arms that gave none. */
export interface ScoreEstimates {
  readonly estimates: readonly Estimate[];
  readonly leftOut: readonly LeftOut[];
}

/**
 * What is each arm's mean score, ready to be pooled?
 *
 * Value m, variance s²/n, on the scale `plain`, in the units of the scale's reference version. Means on
 * different scales, or of scores and of changes, are different quantities: the others are left out.
 *
 * @throws RangeError for an impossible mean, spread or size, or an unknown kind.
 * Source: Cochrane Handbook version 6, section 6.5.2.2 (standard error of a mean).
 * @example
 * estimateMeans(selectScores(review, 'pain').arms.filter((arm) => arm.site === 'suprapectoral'), { scale: 'pain-vas' })
 */
export function estimateMeans(arms: readonly ScoreArm[], options: EstimateMeansOptions): ScoreEstimates {
  requireKnownOptions(options, ['scale', 'kind']);
  const { scale } = options;
  if (typeof scale !== 'string')
    throw new RangeError('scale must be stated, such as "ases"; received nothing');
  const kind: string = options.kind ?? 'final';
  requireOneOf('kind', kind, scoreKinds);
  const averaged = arms.find((arm) => arm.scale === scale)?.scaleName ?? scale;
  const estimates: Estimate[] = [];
  const leftOut: LeftOut[] = [];
  for (const arm of arms) {
    requireGroup(`${arm.study} ${arm.arm}`, arm);
    const { study, label, arm: name, rows } = arm;
    const variance = arm.standardDeviation ** 2 / arm.total;
    const reason =
      arm.scale !== scale
        ? `${arm.scaleName} is another scale than the one averaged (${averaged}).`
        : arm.kind !== kind
          ? `A ${arm.kind} score is not averaged with ${kind} scores.`
          : !(variance > 0 && Number.isFinite(variance))
            ? 'The standard deviation is 0 or out of range, so the score cannot be weighed.'
            : undefined;
    if (reason !== undefined) leftOut.push({ study, label, arm: name, reason, rows });
    else
      estimates.push({
        study,
        label,
        arm: name,
        value: arm.mean,
        variance,
        scale: 'plain',
        addedToEachCell: 0,
        rows,
      });
  }
  return { estimates, leftOut };
}
