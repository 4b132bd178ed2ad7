import { decodeText } from '../decodeText.ts';
import { type JsonPath, type PlacedJson, readJson } from '../jsonPlaces.ts';
import { canonicalJson } from '../provenance/canonicalJson.ts';
import type { RuleChange, RuleChangeKind } from './reviewChanges.ts';

interface Leaf {
  readonly text: string;
  readonly place: JsonPath;
}

/** Keys that are read by people and move no number. */
const wordings = new Set([
  'title',
  'notice',
  'question',
  'population',
  'name',
  'description',
  'source',
  'denominator',
  'unit',
  'previousVersion',
  'where',
  'date',
]);

const kindOf = (path: string): RuleChangeKind => {
  if (path === 'lastSearch' || path === 'inventedData')
    return path === 'lastSearch' ? 'search date' : 'wording';
  return wordings.has(path.split('.').at(-1) ?? '') ? 'wording' : 'rule';
};

const hasId = (value: unknown): value is { readonly id: string } =>
  typeof value === 'object' && value !== null && typeof (value as { id?: unknown }).id === 'string';

/** Every value of the protocol by its path; entries of a list with ids by their id, other lists as one value. */
function leavesOf(value: unknown, path: string, place: JsonPath, leaves: Map<string, Leaf>): void {
  if (Array.isArray(value)) {
    if (value.length > 0 && value.every(hasId)) {
      for (const [at, entry] of value.entries())
        leavesOf(entry, `${path}[${entry.id}]`, [...place, at], leaves);
      return;
    }
  } else if (typeof value === 'object' && value !== null) {
    for (const [key, member] of Object.entries(value))
      leavesOf(member, path === '' ? key : `${path}.${key}`, [...place, key], leaves);
    return;
  }
  leaves.set(path, { text: canonicalJson(value), place });
}

function read(content: string | Uint8Array | undefined): {
  readonly json: PlacedJson | undefined;
  readonly leaves: ReadonlyMap<string, Leaf>;
} {
  const leaves = new Map<string, Leaf>();
  const { text } = decodeText('protocol.json', content ?? '');
  const { json } = text === undefined ? {} : readJson(text);
  if (json !== undefined) leavesOf(json.value, '', [], leaves);
  return { json, leaves };
}

/**
 * Which rules changed, key by key, and on which line of protocol.json?
 *
 * Outcomes and scales are followed by their id, so that putting them in another order is no change; a list of words is
 * compared as a whole, because its order is a preference.
 */
export function ruleChanges(
  before: string | Uint8Array | undefined,
  after: string | Uint8Array | undefined,
): readonly RuleChange[] {
  const [one, other] = [read(before), read(after)];
  const paths = new Set([...one.leaves.keys(), ...other.leaves.keys()]);
  return [...paths].flatMap((path) => {
    const [old, now] = [one.leaves.get(path), other.leaves.get(path)];
    if (old?.text === now?.text) return [];
    const change: RuleChange = {
      kind: kindOf(path),
      path,
      before: old?.text,
      after: now?.text,
      lineBefore: old && one.json?.placeOf(old.place).line,
      lineAfter: now && other.json?.placeOf(now.place).line,
    };
    return [change];
  });
}
