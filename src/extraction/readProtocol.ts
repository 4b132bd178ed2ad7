import { z } from 'zod';
import { decodeText } from './decodeText.ts';
import { type JsonPath, type PlacedJson, readJson } from './jsonPlaces.ts';
import { didYouMean, listNames, nearestName } from './nearestName.ts';
import type { Problem } from './problem.ts';
import { type Protocol, protocolSchema } from './protocol.ts';

const file = 'protocol.json';

const zeroEventsWords = '"leave-out" or { "addToEachCell": a number above 0 and up to 1 }';

export interface ProtocolReading {
  readonly protocol: Protocol | undefined;
  readonly problems: readonly Problem[];
}

/** What did the review decide beforehand, and what is wrong with the way it is written down? */
export function readProtocol(content: string | Uint8Array): ProtocolReading {
  const decoded = decodeText(file, content);
  if (decoded.text === undefined) return { protocol: undefined, problems: [decoded.problem] };
  const reading = readJson(decoded.text);
  if (reading.json === undefined) {
    const { line, column, source, message } = reading.fault;
    const cure = `Look for a missing or extra comma, quote or bracket here (${message}).`;
    const problem: Problem = { severity: 'error', file, line, column, value: source, expected: 'JSON', cure };
    return { protocol: undefined, problems: [problem] };
  }
  const { json } = reading;
  const problems: Problem[] = json.repeatedKeys.map(({ line, column, source, key }) => ({
    severity: 'error',
    file,
    line,
    column,
    value: source,
    expected: 'each key once',
    cure: `Delete one of the two "${key}".`,
  }));
  const parsed = protocolSchema.safeParse(json.value);
  if (!parsed.success) {
    for (const issue of parsed.error.issues) problems.push(...issueProblems(json, issue));
    return { protocol: undefined, problems };
  }
  problems.push(...consistencyProblems(json, parsed.data));
  return { protocol: problems.length > 0 ? undefined : parsed.data, problems };
}

const pathInWords = (path: JsonPath): string =>
  path
    .map((step) => (typeof step === 'number' ? `[${step}]` : `.${String(step)}`))
    .join('')
    .replace(/^\./, '');

function problemAt(json: PlacedJson, path: JsonPath, expected: string, cure: string): Problem {
  const { line, column, source } = json.placeOf(path);
  const heading = path.length === 0 ? {} : { heading: pathInWords(path) };
  return { severity: 'error', file, line, column, ...heading, value: shownSource(source), expected, cure };
}

/** A quoted text without its quotes; the problem puts them back. */
const shownSource = (source: string): string => source.replace(/^"(.*)"$/s, '$1');

function issueProblems(json: PlacedJson, issue: z.core.$ZodIssue): readonly Problem[] {
  if (issue.code === 'unrecognized_keys') {
    const known = keysAt(json, issue.path);
    return issue.keys.map((key) => {
      const { line, column } = json.placeOfKey(issue.path, key);
      const cure = `${didYouMean(key, known)}Known keys here: ${listNames(known, 30)}.`;
      return { severity: 'error', file, line, column, value: key, expected: 'a key of the protocol', cure };
    });
  }
  if (!isPresent(json.value, issue.path)) {
    const key = String(issue.path.at(-1));
    const around = issue.path.slice(0, -1);
    const known = keysAt(json, around);
    const misspelt = keysIn(json, around).find(
      (each) => !known.includes(each) && nearestName(each, known) === key,
    );
    // A key that was only misspelt is said once, where it stands.
    if (misspelt !== undefined) return [];
    const cure = `Add "${key}"; the codebook says what it means.`;
    const parent = json.placeOf(around);
    const { line, column } = parent;
    return [
      {
        severity: 'error',
        file,
        line,
        column,
        heading: pathInWords(issue.path),
        value: '',
        expected: expectedWords(issue),
        cure,
      },
    ];
  }
  if (issue.code === 'invalid_union' && issue.errors.length > 0) {
    return [
      problemAt(
        json,
        issue.path,
        zeroEventsWords,
        'Say how arms without events are to be treated; nothing is added unasked.',
      ),
    ];
  }
  const { source } = json.placeOf(issue.path);
  const hint =
    issue.code === 'invalid_value' ? didYouMean(shownSource(source), issue.values.map(String)) : '';
  return [
    problemAt(json, issue.path, expectedWords(issue), `${hint}Change it; the codebook says what it means.`),
  ];
}

function isPresent(value: unknown, path: JsonPath): boolean {
  let current = value;
  for (const step of path) {
    if (typeof current !== 'object' || current === null || !Object.hasOwn(current, step)) return false;
    current = (current as Record<PropertyKey, unknown>)[step];
  }
  return true;
}

/** Keys the object at a path has. */
function keysIn(json: PlacedJson, path: JsonPath): readonly string[] {
  let value = json.value;
  for (const step of path) value = (value as Record<PropertyKey, unknown> | undefined)?.[step];
  return typeof value === 'object' && value !== null ? Object.keys(value) : [];
}

/** A zod issue in words that complete "expected …". */
function expectedWords(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case 'invalid_value':
      return issue.values.length === 1
        ? listNames(issue.values.map(String))
        : `one of ${listNames(issue.values.map(String))}`;
    case 'invalid_union':
      return issue.errors.length > 0 ? zeroEventsWords : '"events" or "score"';
    case 'invalid_type':
      return (
        {
          string: 'text in quotes',
          boolean: 'true or false',
          array: 'a list in square brackets',
          object: 'an object in braces',
          number: 'a number',
        }[issue.expected as string] ?? issue.expected
      );
    case 'too_small':
      if (issue.origin === 'string') return 'text, not a blank';
      if (issue.origin === 'array') return 'a list with at least one entry';
      return `a number ${issue.inclusive === true ? 'of at least' : 'above'} ${issue.minimum}`;
    case 'too_big':
      return `a number ${issue.inclusive === true ? 'of at most' : 'below'} ${issue.maximum}`;
    default:
      return issue.message;
  }
}

/** Keys the schema knows at a path, following the value's own kind through unions. */
function keysAt(json: PlacedJson, path: JsonPath): readonly string[] {
  let schema: z.core.$ZodType = protocolSchema;
  let value: unknown = json.value;
  for (const step of [...path, undefined]) {
    schema = unwrap(schema, value);
    if (step === undefined) break;
    if (schema instanceof z.ZodArray) schema = schema.element;
    else if (schema instanceof z.ZodObject)
      schema = (schema.shape as Record<string, z.ZodType>)[String(step)] ?? schema;
    value = (value as Record<PropertyKey, unknown> | undefined)?.[step];
  }
  return schema instanceof z.ZodObject ? Object.keys(schema.shape) : [];
}

function unwrap(schema: z.core.$ZodType, value: unknown): z.core.$ZodType {
  if (schema instanceof z.ZodOptional) return unwrap(schema.unwrap(), value);
  if (schema instanceof z.ZodUnion) {
    const kind = (value as { readonly kind?: unknown } | undefined)?.kind;
    const objects = schema.options.filter((option): option is z.ZodObject => option instanceof z.ZodObject);
    return (
      objects.find((option) => option.shape.kind?.safeParse(kind).success ?? false) ?? objects[0] ?? schema
    );
  }
  return schema;
}

/** What the schema cannot see: names that refer to each other, and keys one choice makes necessary. */
function consistencyProblems(json: PlacedJson, protocol: Protocol): readonly Problem[] {
  const problems: Problem[] = [];
  const add = (path: JsonPath, expected: string, cure: string): void => {
    problems.push(problemAt(json, path, expected, cure));
  };
  if (protocol.inventedData && protocol.notice === undefined) {
    add(
      ['inventedData'],
      'a notice beside invented data',
      'Add "notice": the sentence every page must carry.',
    );
  }
  const repeated = (names: readonly string[], pathOf: (index: number) => JsonPath, what: string): void => {
    names.forEach((name, index) => {
      if (names.indexOf(name) < index)
        add(pathOf(index), `each ${what} once`, `Rename or delete the second "${name}".`);
    });
  };
  const outcomeIds = protocol.outcomes.map((outcome) => outcome.id);
  const scaleIds = protocol.scales.map((each) => each.id);
  repeated(protocol.sites, (index) => ['sites', index], 'site');
  repeated(outcomeIds, (index) => ['outcomes', index, 'id'], 'outcome');
  repeated(scaleIds, (index) => ['scales', index, 'id'], 'scale');
  protocol.outcomes.forEach((outcome, index) => {
    if (outcome.prefer === 'closest-to-target' && outcome.targetMonths === undefined) {
      add(
        ['outcomes', index, 'prefer'],
        'a target beside "closest-to-target"',
        'Add "targetMonths" to the outcome, or prefer "longest".',
      );
    }
    if (outcome.kind !== 'score') return;
    outcome.scales.forEach((scaleId, position) => {
      if (scaleIds.includes(scaleId)) return;
      add(
        ['outcomes', index, 'scales', position],
        'a scale of the list "scales"',
        `${didYouMean(scaleId, scaleIds)}Known scales: ${listNames(scaleIds)}.`,
      );
    });
  });
  return problems;
}
