import { type AnyNode, evaluate, type ObjectNode, parse } from '@humanwhocodes/momoa';

export type JsonPath = readonly PropertyKey[];

/** Where a value or key stands in the JSON text, both from 1. */
export interface JsonPlace {
  readonly line: number;
  readonly column: number;
  /** The text of the value, as typed. */
  readonly source: string;
}

/** A JSON text that could be parsed: its value, and the place of every part of it. */
export interface PlacedJson {
  readonly value: unknown;
  /** Place of the value at a path, or of the nearest part around it that exists. */
  placeOf(path: JsonPath): JsonPlace;
  /** Place of a key, for problems with the key itself. */
  placeOfKey(path: JsonPath, key: string): JsonPlace;
  /** Keys that stand twice in one object. */
  readonly repeatedKeys: readonly (JsonPlace & { readonly key: string })[];
}

export type JsonReading =
  | { readonly json: PlacedJson; readonly fault?: never }
  | { readonly json?: never; readonly fault: JsonPlace & { readonly message: string } };

const keyOf = (member: ObjectNode['members'][number]): string =>
  member.name.type === 'String' ? member.name.value : member.name.name;

const tokenNames: Readonly<Record<string, string>> = {
  LBrace: '{',
  RBrace: '}',
  LBracket: '[',
  RBracket: ']',
  Comma: 'comma',
  Colon: 'colon',
};

/** The parser's message without the place, which is given apart, and without its names for marks. */
const plainMessage = (message: string): string =>
  message
    .replace(/\s*\(\d+:\d+\)\.?$/, '')
    .replace(/ found\.?$/, '')
    .replace(/\b[LR]Brac(?:e|ket)\b|\bComma\b|\bColon\b/g, (name) => tokenNames[name] ?? name)
    .toLowerCase();

/** What does the JSON text say, and where does each part of it stand? Never throws. */
export function readJson(text: string): JsonReading {
  let root: AnyNode;
  let value: unknown;
  try {
    const document = parse(text, { mode: 'json', ranges: true });
    root = document.body;
    value = evaluate(document);
  } catch (error) {
    const {
      line = 1,
      column = 1,
      message = '',
    } = error as { line?: number; column?: number; message?: string };
    const source = (text.split('\n')[line - 1] ?? '').slice(Math.max(column - 1, 0));
    return { fault: { line, column, source, message: plainMessage(message) } };
  }
  const place = (node: AnyNode): JsonPlace => ({
    line: node.loc.start.line,
    column: node.loc.start.column,
    source: text.slice(node.loc.start.offset, node.loc.end.offset).replace(/\s+/g, ' '),
  });
  const find = (path: JsonPath): AnyNode => {
    let node = root;
    for (const step of path) {
      const next =
        node.type === 'Object'
          ? node.members.findLast((member) => keyOf(member) === String(step))?.value
          : node.type === 'Array'
            ? node.elements[Number(step)]?.value
            : undefined;
      if (next === undefined) break;
      node = next;
    }
    return node;
  };
  const repeatedKeys: (JsonPlace & { readonly key: string })[] = [];
  const collect = (node: AnyNode): void => {
    if (node.type === 'Array') for (const element of node.elements) collect(element.value);
    if (node.type !== 'Object') return;
    const seen = new Set<string>();
    for (const member of node.members) {
      const key = keyOf(member);
      if (seen.has(key)) repeatedKeys.push({ ...place(member.name), key });
      seen.add(key);
      collect(member.value);
    }
  };
  collect(root);
  return {
    json: {
      value,
      placeOf: (path) => place(find(path)),
      placeOfKey: (path, key) => {
        const node = find(path);
        const member =
          node.type === 'Object' ? node.members.findLast((each) => keyOf(each) === key) : undefined;
        return place(member?.name ?? node);
      },
      repeatedKeys,
    },
  };
}
