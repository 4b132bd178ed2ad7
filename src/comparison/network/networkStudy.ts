import type { ContrastScale } from '../../effects/analysisScale.ts';
import type { Count } from '../../effects/estimate.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { cholesky } from '../../numerics/cholesky.ts';

/** Scales a network can be analysed on. `plain` is a difference analysed as it was reported. */
export type NetworkScale = ContrastScale | 'plain';

/**
 * One study's place in a network: its arms, and how each differs from the first of them.
 *
 * The contrasts share the first arm, so they move together; `covariance` says how much.
 */
export interface NetworkStudy {
  readonly study: string;
  readonly label: string;
  readonly design?: string;
  readonly scale: NetworkScale;
  /** Two or more different treatments; the first is the study's own baseline. */
  readonly treatments: readonly string[];
  /** Effect of each further treatment less that of the first, on the scale. */
  readonly values: readonly number[];
  /** Sampling covariance of `values`, row by row. */
  readonly covariance: readonly (readonly number[])[];
  /** Counts behind it, in the order of `treatments`, before any correction. */
  readonly counts?: readonly Count[];
  /** What was added to each cell; 0 when the counts were used as they are. */
  readonly addedToEachCell: number;
  readonly rows: readonly RowAddress[];
}

/** A study or arm that cannot stand in the network, and why. */
export interface NetworkLeftOut {
  readonly study: string;
  readonly label: string;
  readonly reason: string;
}

/** Studies ready for a network, and those that are not. */
export interface NetworkStudies {
  readonly studies: readonly NetworkStudy[];
  readonly leftOut: readonly NetworkLeftOut[];
}

const largest = 1e50;

/**
 * Throws unless a study can stand in a network.
 *
 * @throws RangeError naming the study, the bound and the value received
 */
export function checkNetworkStudy(study: NetworkStudy): void {
  const { label, treatments, values, covariance } = study;
  const size = treatments.length - 1;
  if (size < 1) throw new RangeError(`${label} needs two or more treatments, received ${treatments.length}`);
  if (new Set(treatments).size !== treatments.length)
    throw new RangeError(`treatments of ${label} must differ, received ${treatments.join(', ')}`);
  if (values.length !== size || covariance.length !== size)
    throw new RangeError(
      `${label} has ${treatments.length} treatments, so it needs ${size} values and a covariance of that size, received ${values.length} and ${covariance.length}`,
    );
  for (const value of values)
    if (!(typeof value === 'number' && Math.abs(value) <= largest))
      throw new RangeError(
        `values of ${label} must lie between -${largest} and ${largest}, received ${value}`,
      );
  const flat = new Float64Array(size * size);
  covariance.forEach((row, i) => {
    if (row.length !== size)
      throw new RangeError(`covariance of ${label} must have ${size} columns, received ${row.length}`);
    row.forEach((cell, j) => {
      if (!(typeof cell === 'number' && Math.abs(cell) <= largest))
        throw new RangeError(`covariance of ${label} must be finite, received ${cell}`);
      if (Math.abs(cell - covariance[j]![i]!) > 1e-9 * Math.abs(cell))
        throw new RangeError(`covariance of ${label} must be symmetric`);
      flat[i * size + j] = cell;
    });
  });
  if (cholesky(flat, size) === undefined)
    throw new RangeError(
      `covariance of ${label} must be positive definite: its contrasts cannot vary like that`,
    );
}
