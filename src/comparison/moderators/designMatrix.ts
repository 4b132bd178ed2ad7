import type { LeftOut } from '../../effects/estimate.ts';
import { isReported } from '../../extraction/reported.ts';
import { show } from '../../pooling/optionChecks.ts';
import { type Covariate, type CovariateValues, levelName, type RegressionRow } from './covariate.ts';

/** One column of the model beside the intercept. */
export interface RegressionTerm {
  /** `age`, or `site=tenotomy` for a level. */
  readonly id: string;
  readonly covariate: string;
  /** As printed: "Mean age, per year", "Site: tenotomy, against suprapectoral". */
  readonly name: string;
  /** The level this column marks; undefined for a continuous covariate. */
  readonly level?: string;
}

/** A column that could not be told apart from others, and why. */
export interface DroppedTerm extends RegressionTerm {
  readonly reason: string;
}

/** Rows and columns ready to be fitted. */
export interface DesignMatrix {
  /** Rows whose every covariate is reported. */
  readonly rows: readonly RegressionRow[];
  /** Rows with a covariate the paper does not report: named, never filled in. */
  readonly leftOut: readonly LeftOut[];
  readonly terms: readonly RegressionTerm[];
  readonly dropped: readonly DroppedTerm[];
  /** Reference level by categorical covariate. */
  readonly references: Readonly<Record<string, string>>;
  /** One array a column; the first is the intercept. */
  readonly columns: readonly Float64Array[];
}

/** A column whose part not explained by earlier ones is smaller than this share of it says nothing of its own. */
const independence = 1e-9;

/**
 * Which columns do these covariates make, and which rows can be used?
 *
 * Continuous covariates enter as they are, categorical ones as one column for each level but the reference. A row
 * with a covariate that is not reported is left out with the names of what is missing. A column that is constant or
 * follows from earlier ones is dropped with a reason, so that the order of covariates decides which one stays.
 *
 * @throws RangeError for a covariate given twice, a value of the wrong kind, or a reference that no row has
 */
export function designMatrix(rows: readonly RegressionRow[], covariates: readonly Covariate[]): DesignMatrix {
  const ids = covariates.map(({ id }) => id);
  const twice = ids.find((id, index) => ids.indexOf(id) !== index);
  if (twice !== undefined) throw new RangeError(`covariate ${show(twice)} is given twice`);
  const used: RegressionRow[] = [];
  const leftOut: LeftOut[] = [];
  for (const row of rows) {
    const missing = covariates.filter((covariate) => !hasValue(row, covariate));
    if (missing.length === 0) used.push(row);
    else leftOut.push(leaveOut(row, missing));
  }
  const references: Record<string, string> = {};
  const terms: RegressionTerm[] = [];
  const dropped: DroppedTerm[] = [];
  const columns: Float64Array[] = [new Float64Array(used.length).fill(1)];
  const basis = columns.map(unitLength);
  for (const covariate of covariates) {
    const before = [...terms];
    for (const { term, column } of columnsOf(used, covariate, references)) {
      const rest = remainder(column, basis);
      if (rest) {
        terms.push(term);
        columns.push(column);
        basis.push(rest);
      } else dropped.push({ ...term, reason: whyDropped(column, before) });
    }
  }
  return { rows: used, leftOut, terms, dropped, references, columns };
}

/** The model's columns at chosen covariate values, the intercept first. */
export function designVector(
  design: Pick<DesignMatrix, 'terms'>,
  covariates: readonly Covariate[],
  values: CovariateValues,
): Float64Array {
  const wanted = new Set(design.terms.map(({ covariate }) => covariate));
  for (const covariate of covariates) {
    if (!wanted.has(covariate.id)) continue;
    const value = values[covariate.id];
    if (value === undefined || !isReported(value)) {
      throw new RangeError(`a value of ${covariate.id} must be given, received ${show(value)}`);
    }
    checkKind(value, covariate, 'the chosen values');
  }
  return Float64Array.from([
    1,
    ...design.terms.map(({ covariate, level }) =>
      level === undefined ? Number(values[covariate]) : values[covariate] === level ? 1 : 0,
    ),
  ]);
}

function hasValue({ estimate, covariates }: RegressionRow, covariate: Covariate): boolean {
  const value = covariates[covariate.id];
  if (value === undefined || !isReported(value)) return false;
  checkKind(value, covariate, estimate.label);
  return true;
}

function checkKind(value: number | string, { id, kind }: Covariate, where: string): void {
  const fits =
    kind === 'continuous' ? typeof value === 'number' && Math.abs(value) <= 1e50 : typeof value === 'string';
  if (!fits) {
    throw new RangeError(
      `${id} of ${where} must be ${kind === 'continuous' ? 'a finite number' : 'a text'}, received ${show(value)}`,
    );
  }
}

function leaveOut({ estimate }: RegressionRow, missing: readonly Covariate[]): LeftOut {
  const { study, label, arm, count, counts, rows } = estimate;
  return {
    study,
    label,
    ...(arm === undefined ? {} : { arm }),
    reason: `not reported: ${missing.map(({ name }) => name.toLowerCase()).join(', ')}`,
    ...(count === undefined ? {} : { count }),
    ...(counts === undefined ? {} : { counts }),
    rows,
  };
}

function columnsOf(
  rows: readonly RegressionRow[],
  covariate: Covariate,
  references: Record<string, string>,
): { term: RegressionTerm; column: Float64Array }[] {
  const { id, name } = covariate;
  const values = rows.map((row) => row.covariates[id]!);
  if (covariate.kind === 'continuous') {
    const term = { id, covariate: id, name: covariate.unit ? `${name}, per ${covariate.unit}` : name };
    return [{ term, column: Float64Array.from(values, Number) }];
  }
  const counts = new Map<string, number>();
  for (const value of values) counts.set(String(value), (counts.get(String(value)) ?? 0) + 1);
  const levels = [...counts.keys()].sort();
  if (covariate.reference !== undefined && levels.length > 0 && !counts.has(covariate.reference)) {
    throw new RangeError(
      `reference of ${id} must be one of ${levels.join(', ')}, received ${show(covariate.reference)}`,
    );
  }
  const reference =
    covariate.reference ??
    levels.reduce((best, level) => (counts.get(level)! > counts.get(best)! ? level : best), levels[0] ?? '');
  references[id] = reference;
  return levels
    .filter((level) => level !== reference)
    .map((level) => ({
      term: {
        id: `${id}=${level}`,
        covariate: id,
        name: `${name}: ${levelName(covariate, level)}, against ${levelName(covariate, reference)}`,
        level,
      },
      column: Float64Array.from(values, (value) => (value === level ? 1 : 0)),
    }));
}

const dot = (a: Float64Array, b: Float64Array): number =>
  a.reduce((sum, value, index) => sum + value * b[index]!, 0);

const unitLength = (column: Float64Array): Float64Array => {
  const length = Math.sqrt(dot(column, column));
  return length > 0 ? column.map((value) => value / length) : column;
};

/** What a column adds to the columns before it, at unit length; undefined when that is nothing but rounding. */
function remainder(column: Float64Array, basis: readonly Float64Array[]): Float64Array | undefined {
  const average = column.reduce((sum, value) => sum + value, 0) / column.length;
  const centred = column.map((value) => value - average);
  const spread = Math.sqrt(dot(centred, centred));
  const size = Math.max(...column.map(Math.abs));
  if (!(spread > 1e-12 * size)) return undefined;
  let rest: Float64Array = centred;
  // Twice, since once leaves the rounding of the first pass in.
  for (let pass = 0; pass < 2; pass++) {
    for (const direction of basis) {
      const share = dot(rest, direction);
      rest = rest.map((value, index) => value - share * direction[index]!);
    }
  }
  return Math.sqrt(dot(rest, rest)) > independence * spread ? unitLength(rest) : undefined;
}

function whyDropped(column: Float64Array, before: readonly RegressionTerm[]): string {
  if (column.every((value) => value === column[0])) return 'it is the same in every row';
  if (before.length === 0) return 'it follows from the columns before it';
  return `it follows from ${before.map(({ id }) => id).join(', ')}: their effects cannot be told apart`;
}
