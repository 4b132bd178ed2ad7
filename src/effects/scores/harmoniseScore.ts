import { lookUpScale } from './findScale.ts';
import { type ScoreRange, scaleEndCaution } from './scaleEndCaution.ts';
import type { ScoreCaution } from './scoreCaution.ts';
import { requireFinite, requireNotNegative, requireOneOf } from './scoreInputs.ts';
import type { ScaleVersion, ScoreDirection, ScoreScale } from './scoreScale.ts';

/** Kinds of value: a state (before or after), or the change between the two. */
export const scoreKinds = ['baseline', 'final', 'change'] as const;
export type ScoreKind = (typeof scoreKinds)[number];

/** A group's score as printed, with what the paper says of its scale. */
export interface PrintedScore {
  /** Id of the scale the paper used. */
  readonly scale: string;
  readonly mean: number;
  readonly standardDeviation: number;
  /** Ends of the version the paper used, where stated. */
  readonly minimum?: number;
  readonly maximum?: number;
  readonly unit?: string;
  /** Direction, where stated. */
  readonly better?: ScoreDirection;
  /** Default `final`. A change is stretched but not shifted. */
  readonly kind?: ScoreKind;
  /** Was the mean or spread converted from other figures? Sharpens the caution near an end. */
  readonly converted?: boolean;
}

/** The straight line from a printed score to the reference: multiply, then add. */
export interface ScoreLine {
  readonly multiply: number;
  readonly add: number;
}

export type HarmonisedScore =
  | {
      readonly status: 'harmonised';
      readonly scale: string;
      readonly mean: number;
      readonly standardDeviation: number;
      readonly better: ScoreDirection;
      readonly range: ScoreRange | undefined;
      readonly unit: string;
      readonly kind: ScoreKind;
      readonly from: ScaleVersion;
      readonly line: ScoreLine;
      readonly cautions: readonly ScoreCaution[];
    }
  | { readonly status: 'refused'; readonly reason: string };

/**
 * What is this score on the reference version of a scale, or why can it not be put there?
 *
 * Versions of one instrument map by a straight line, worst on worst and best on best:
 * y = w' + (x - w)(b' - w')/(b - w); standard deviations by |(b' - w')/(b - w)|; a change is multiplied
 * and not shifted. So pain of 3.1 on 0 to 10 is 31 on 0 to 100, and 30 points on the older Oxford score
 * (12 to 60, low better) are 30 on the newer one (0 to 48, high better). Refused, with the reason: another scale, a
 * modified or partial look-alike, a version that is not known, and a missing range where versions differ.
 *
 * @throws RangeError for a mean that is not a number or a standard deviation below 0.
 * Source: linear rescaling between instruments' ranges, Thorlund K, Walter SD, Johnston BC, et al., Res Synth
 * Methods 2011;2:188-203 (from memory); ranges in {@link scaleRegistry}.
 * @example
 * harmoniseScore({ scale: 'pain-vas', mean: 3.1, standardDeviation: 1.9, minimum: 0, maximum: 10 }, findScale('pain-vas'))
 */
export function harmoniseScore(score: PrintedScore, scale: ScoreScale): HarmonisedScore {
  requireFinite('mean', score.mean);
  requireNotNegative('standardDeviation', score.standardDeviation);
  const kind: string = score.kind ?? 'final';
  requireOneOf('kind', kind, scoreKinds);
  const otherScale = otherScaleReason(score, scale);
  if (otherScale !== undefined) return { status: 'refused', reason: otherScale };
  const from = findVersion(score, scale);
  if (typeof from === 'string') return { status: 'refused', reason: from };
  const outside = outsideReason(score, from, kind);
  if (outside !== undefined) return { status: 'refused', reason: outside };
  const line = lineBetween(from, scale.reference, kind);
  const harmonised = {
    mean: line.multiply * score.mean + line.add,
    standardDeviation: Math.abs(line.multiply) * score.standardDeviation,
  };
  const cautions: ScoreCaution[] = [];
  if (Math.abs(line.multiply) !== 1 || line.add !== 0) {
    cautions.push({
      code: 'rescaled',
      message: `Rescaled from ${versionInWords(from)} to ${versionInWords(scale.reference)}.`,
    });
  }
  if (from.better !== scale.reference.better) {
    cautions.push({
      code: 'reversed',
      message: `Turned round: ${from.better} is better as printed, ${scale.reference.better} as pooled.`,
    });
  }
  if (from.note !== undefined && scale.family === 'ucla') {
    cautions.push({ code: 'minimum-often-misquoted', message: from.note });
  }
  if (
    from.range !== undefined &&
    score.minimum === undefined &&
    score.maximum === undefined &&
    scale.rangeMustBeStated
  ) {
    cautions.push({
      code: 'range-taken-from-unit',
      message: `The range is not stated; ${versionInWords(from)} follows from the ${score.unit === undefined ? 'direction' : `unit ${score.unit}`}.`,
    });
  }
  const { range } = scale.reference;
  const end =
    kind === 'change' || range === undefined
      ? undefined
      : scaleEndCaution(harmonised, range, { converted: score.converted ?? false });
  if (end !== undefined) cautions.push(end);
  return {
    status: 'harmonised',
    scale: scale.id,
    ...harmonised,
    better: scale.reference.better,
    range,
    unit: scale.reference.units[0] ?? 'points',
    kind,
    from,
    line,
    cautions,
  };
}

const sameScale = (id: string, scale: ScoreScale): boolean => lookUpScale(id, [scale])?.id === scale.id;

function otherScaleReason(score: PrintedScore, scale: ScoreScale): string | undefined {
  if (sameScale(score.scale, scale)) return undefined;
  const other = lookUpScale(score.scale);
  if (other === undefined)
    return `The scale "${score.scale}" is not known, so it cannot be pooled with ${scale.name}.`;
  if (other.family !== scale.family) return `${other.name} is another scale than ${scale.name}.`;
  const because = other.apartBecause ?? scale.apartBecause;
  return `${other.name} is not pooled with ${scale.name}${because === undefined ? '' : `: ${because}`}.`;
}

/** The version the printed score is on, or the reason it cannot be told. */
function findVersion(score: PrintedScore, scale: ScoreScale): ScaleVersion | string {
  const { minimum, maximum, unit, better } = score;
  const fits = scale.versions.filter(
    ({ range, units, better: direction }) =>
      (minimum === undefined || range?.minimum === minimum) &&
      (maximum === undefined || range?.maximum === maximum) &&
      (unit === undefined || units.some((each) => each.toLowerCase() === unit.trim().toLowerCase())) &&
      (better === undefined || direction === better),
  );
  const known = scale.versions.map(versionInWords).join('; ');
  if (fits.length === 0)
    return `${scale.name} is known as ${known}; the paper’s ${statedInWords(score)} is none of them.`;
  if (fits.length > 1)
    return `${scale.name} is known as ${known}; the paper does not say which, so the score cannot be used.`;
  return fits[0]!;
}

function outsideReason(score: PrintedScore, from: ScaleVersion, kind: ScoreKind): string | undefined {
  if (from.range === undefined) return undefined;
  const { minimum, maximum } = from.range;
  const width = maximum - minimum;
  const [low, high] = kind === 'change' ? [-width, width] : [minimum, maximum];
  if (score.mean >= low && score.mean <= high) return undefined;
  return `A mean of ${score.mean} cannot be on a scale of ${versionInWords(from)}.`;
}

/** Worst on worst, best on best. */
function lineBetween(from: ScaleVersion, to: ScaleVersion, kind: ScoreKind): ScoreLine {
  if (from.range === undefined || to.range === undefined) {
    return { multiply: (from.factor ?? 1) / (to.factor ?? 1), add: 0 };
  }
  const [worst, best] = endsOf(from.range, from.better);
  const [toWorst, toBest] = endsOf(to.range, to.better);
  const multiply = (toBest - toWorst) / (best - worst);
  return { multiply, add: kind === 'change' ? 0 : toWorst - multiply * worst };
}

const endsOf = (range: ScoreRange, better: ScoreDirection): readonly [number, number] =>
  better === 'higher' ? [range.minimum, range.maximum] : [range.maximum, range.minimum];

function versionInWords({ range, better, units }: ScaleVersion): string {
  const unit = units[0] ?? 'points';
  return range === undefined
    ? `${unit} (${better} better)`
    : `${range.minimum} to ${range.maximum} ${unit} (${better} better)`;
}

function statedInWords({ minimum, maximum, unit, better }: PrintedScore): string {
  const parts = [
    minimum === undefined && maximum === undefined ? '' : `range of ${minimum ?? '?'} to ${maximum ?? '?'}`,
    unit === undefined ? '' : `unit ${unit}`,
    better === undefined ? '' : `direction "${better} better"`,
  ].filter((part) => part !== '');
  return parts.length === 0 ? 'version' : parts.join(', ');
}
