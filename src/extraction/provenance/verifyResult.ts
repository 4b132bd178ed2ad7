import type { Provenance, SoftwareVersion } from './provenance.ts';

/** One value of a saved result that is not what comes out now. */
export interface DifferingValue {
  /** Where it stands in the file: `results.pools.sites[0].pool.headline.rate`. */
  readonly path: string;
  /** As saved, in JSON; undefined where only the fresh result has it. */
  readonly saved: string | undefined;
  readonly now: string | undefined;
}

/** Does a saved result still follow? What differs of data, rules and software, and which numbers. */
export interface VerifiedResult {
  readonly kind: 'verified-result';
  /** `cannot tell` for a result without a record of what it followed from, when it was not computed again. */
  readonly verdict: 'follows' | 'does not follow' | 'cannot tell';
  readonly same: { readonly data: boolean; readonly rules: boolean; readonly software: boolean } | undefined;
  /** Sheets whose contents differ, or that only one side has. */
  readonly filesDiffering: readonly string[];
  /** How many values were compared with a fresh computation; undefined where none was made. */
  readonly compared: number | undefined;
  readonly differing: readonly DifferingValue[];
  /** The answer in sentences, the verdict first. */
  readonly sentences: readonly string[];
}

/** What the data, rules and software at hand give. */
export interface ResultNow {
  readonly provenance: Provenance;
  /** The same results computed again; without them only the record is compared. */
  readonly fresh?: unknown;
}

/** Two numbers count as equal within this, relative to the larger: another machine may round the last digits apart. */
export const verifiedTolerance = 1e-9;

/**
 * Does this saved result still follow from these data, these rules and this software?
 *
 * The record saved beside the result is compared with the hashes of the files at hand; where the result was computed
 * again, every value is compared too, numbers within a relative 1e-9 (or an absolute 1e-12 beside nought), words exactly.
 * A result whose values all come out again follows, whatever its record says; the sentences say what differs.
 *
 * @param saved the record and the values of the saved file; `provenance` may be absent in older files
 * @example
 * verifyResult({ provenance: saved.provenance, results: saved.results }, { provenance, fresh: results }).verdict
 */
export function verifyResult(
  saved: { readonly provenance?: Provenance | undefined; readonly results: unknown },
  now: ResultNow,
): VerifiedResult {
  const { provenance } = saved;
  const same = provenance && {
    data: provenance.data === now.provenance.data,
    rules: provenance.rules === now.provenance.rules,
    software:
      provenance.software.tenosite === now.provenance.software.tenosite &&
      // A revision that one side does not know says nothing against the other.
      (provenance.software.revision ?? now.provenance.software.revision) ===
        (now.provenance.software.revision ?? provenance.software.revision),
  };
  const names = new Set([...Object.keys(provenance?.files ?? {}), ...Object.keys(now.provenance.files)]);
  const filesDiffering =
    provenance === undefined
      ? []
      : [...names].sort().filter((file) => provenance.files[file] !== now.provenance.files[file]);
  const comparison = now.fresh === undefined ? undefined : compareValues(saved.results, now.fresh);
  const differing = comparison?.differing ?? [];
  const verdict =
    comparison !== undefined
      ? differing.length === 0
        ? 'follows'
        : 'does not follow'
      : same === undefined
        ? 'cannot tell'
        : same.data && same.rules && same.software
          ? 'follows'
          : 'does not follow';
  const result = { verdict, same, filesDiffering, compared: comparison?.compared, differing } as const;
  return { kind: 'verified-result', ...result, sentences: inSentences(result, now.provenance.software) };
}

function inSentences(
  result: Omit<VerifiedResult, 'kind' | 'sentences'>,
  software: SoftwareVersion,
): readonly string[] {
  const unrecorded =
    software.revision?.endsWith('+changes') === true ? ', with changes that no revision records' : '';
  const { verdict, same, filesDiffering, compared, differing } = result;
  const sentences = [
    verdict === 'follows'
      ? 'The saved result still follows from the files and the software at hand.'
      : verdict === 'does not follow'
        ? 'The saved result does not follow from the files and the software at hand.'
        : 'Nobody can tell whether the saved result still follows: it has no record of what it was made from.',
  ];
  if (same === undefined) sentences.push('It carries no record of its data, rules and software.');
  else {
    sentences.push(same.data ? 'Data: the same.' : `Data: different (${filesDiffering.join(', ')}).`);
    sentences.push(same.rules ? 'Rules: the same.' : 'Rules: different (protocol.json).');
    sentences.push(same.software ? `Software: the same version${unrecorded}.` : 'Software: another version.');
  }
  if (compared === undefined) sentences.push('Its numbers were not computed again.');
  else if (differing.length === 0) sentences.push(`${compared} values were computed again; all agree.`);
  else {
    sentences.push(`${compared} values were computed again; ${differing.length} differ.`);
    if (same?.data === true && same.rules && same.software)
      sentences.push(
        'Data, rules and software are those of the record, so the saved file itself was altered, or its record was.',
      );
  }
  return sentences;
}

function compareValues(
  saved: unknown,
  fresh: unknown,
): { readonly compared: number; readonly differing: readonly DifferingValue[] } {
  const differing: DifferingValue[] = [];
  let compared = 0;
  const walk = (one: unknown, other: unknown, path: string): void => {
    if (isObject(one) && isObject(other) && Array.isArray(one) === Array.isArray(other)) {
      for (const key of new Set([...Object.keys(one), ...Object.keys(other)])) {
        const step = Array.isArray(one) ? `[${key}]` : path === '' ? key : `.${key}`;
        walk(one[key], other[key], `${path}${step}`);
      }
      return;
    }
    compared += 1;
    if (isSame(one, other)) return;
    differing.push({ path, saved: JSON.stringify(one), now: JSON.stringify(other) });
  };
  walk(saved, fresh, '');
  return { compared, differing };
}

const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null;

function isSame(one: unknown, other: unknown): boolean {
  if (typeof one !== 'number' || typeof other !== 'number') return one === other;
  const off = Math.abs(one - other);
  return off <= Math.max(1e-12, verifiedTolerance * Math.max(Math.abs(one), Math.abs(other)));
}
