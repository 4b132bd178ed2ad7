import { parseSync } from 'vite';

/** One small change to a source file that a test should notice. */
export interface Mutant {
  /** Path from the root of the repository. */
  readonly file: string;
  readonly line: number;
  /** What kind of change: 'comparison', 'condition', 'logic', 'arithmetic', 'number', 'boolean', 'removed', 'word'. */
  readonly kind: MutantKind;
  /** Name of the function (or constant) it stands in. */
  readonly within: string;
  /** The code changed, on one line, and what it becomes. */
  readonly from: string;
  readonly to: string;
  /** 1 for the first change of this text in this function, 2 for the next: lines move, this does not. */
  readonly nth: number;
  /** Whether it runs when the module is loaded, before any test can switch it on. */
  readonly onLoad: boolean;
}

export type MutantKind =
  | 'comparison'
  | 'condition'
  | 'logic'
  | 'arithmetic'
  | 'number'
  | 'boolean'
  | 'removed'
  | 'word';

interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}

interface Change {
  readonly kind: MutantKind;
  /** Code to put in place of the node. */
  readonly code: string;
  /** What a reader is shown: a node around the one changed where that says more. */
  readonly shown?: Node;
}

interface Place {
  readonly parent: Node | undefined;
  readonly key: string;
  readonly ancestors: readonly Node[];
  readonly within: string;
  readonly inFunction: boolean;
}

const comparisons: Readonly<Record<string, readonly string[]>> = {
  '<': ['<=', '>='],
  '<=': ['<', '>'],
  '>': ['>=', '<='],
  '>=': ['>', '<'],
  '===': ['!=='],
  '!==': ['==='],
};
const arithmetic: Readonly<Record<string, string>> = { '+': '-', '-': '+', '*': '/', '/': '*', '**': '*' };
const assignments: Readonly<Record<string, string>> = { '+=': '-=', '-=': '+=', '*=': '/=', '/=': '*=' };
/** Calls whose removal leaves the list they were asked of. */
const narrowing = new Set(['filter', 'slice', 'sort', 'toSorted', 'reverse', 'toReversed']);
const opposite: Readonly<Record<string, string>> = { some: 'every', every: 'some', min: 'max', max: 'min' };
/** Nodes of types, whose children never run. */
const typed = new Set(['TSAsExpression', 'TSSatisfiesExpression', 'TSNonNullExpression']);

const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';

const childrenOf = (node: Node): readonly (readonly [string, Node])[] =>
  Object.entries(node).flatMap(([key, value]) =>
    Array.isArray(value)
      ? value.filter(isNode).map((child) => [key, child] as const)
      : isNode(value)
        ? [[key, value] as const]
        : [],
  );

const isFunction = (node: Node): boolean => /Function/.test(node.type) && !node.type.startsWith('TS');
const isString = (node: Node): boolean => node.type === 'Literal' && typeof node.value === 'string';
const isNumber = (node: Node): boolean => node.type === 'Literal' && typeof node.value === 'number';
const isText = (node: Node): boolean => isString(node) || node.type === 'TemplateLiteral';
const isComparison = (node: Node | undefined): node is Node =>
  node?.type === 'BinaryExpression' && String(node.operator) in comparisons;

function nameOf(node: Node): string | undefined {
  const id = (node.id ?? node.key) as Node | undefined;
  return typeof id?.name === 'string' ? id.name : undefined;
}

/** Whether a text is one the code gives out, rather than a key, a path, or a word it compares or calls with. */
function isGivenOut(node: Node, { parent, key, ancestors }: Place): boolean {
  if (node.type === 'Literal' && node.value === '') return false;
  if (node.type === 'TemplateLiteral' && parent?.type === 'TaggedTemplateExpression') return false;
  if (ancestors.some(({ type }) => type === 'ThrowStatement')) return false;
  switch (parent?.type) {
    case 'ReturnStatement':
    case 'ArrowFunctionExpression':
    case 'ArrayExpression':
    case 'VariableDeclarator':
    case 'SwitchCase':
    case 'LogicalExpression':
    case 'TemplateLiteral':
    case 'AssignmentExpression':
    case 'TSAsExpression':
    case 'TSSatisfiesExpression':
      return true;
    case 'ConditionalExpression':
      return key !== 'test';
    case 'Property':
      return key === 'value' || parent.computed === true;
    case 'CallExpression': {
      const property = (parent.callee as Node).property as Node | undefined;
      return key === 'arguments' && property?.name === 'push';
    }
    default:
      return false;
  }
}

function changesOf(node: Node, place: Place, text: (node: Node) => string): readonly Change[] {
  const { parent, key } = place;
  const changes: Change[] = [];
  const inTest =
    key === 'test' &&
    ['IfStatement', 'ConditionalExpression', 'WhileStatement', 'ForStatement', 'DoWhileStatement'].includes(
      parent?.type ?? '',
    );
  const operand = key === 'left' || key === 'right';
  if (isComparison(node)) {
    const [left, right] = [text(node.left as Node), text(node.right as Node)];
    const others = comparisons[String(node.operator)]!;
    // The two answers below say more of a whole condition than its negation does.
    for (const other of inTest ? others.slice(0, others.length - 1) : others)
      changes.push({ kind: 'comparison', code: `${left} ${other} ${right}` });
  }
  if (inTest && node.type !== 'Literal') {
    if (parent?.type === 'IfStatement' || parent?.type === 'ConditionalExpression')
      changes.push({ kind: 'condition', code: 'true' });
    changes.push({ kind: 'condition', code: 'false' });
  }
  if (node.type === 'LogicalExpression') {
    const [left, right] = [node.left as Node, node.right as Node];
    if (node.operator === '??') changes.push({ kind: 'logic', code: text(left) });
    else {
      const other = node.operator === '&&' ? '||' : '&&';
      changes.push({ kind: 'logic', code: `(${text(left)}) ${other} (${text(right)})` });
    }
  }
  // One side of "and" or "or" that no longer counts.
  if (
    operand &&
    parent?.type === 'LogicalExpression' &&
    parent.operator !== '??' &&
    node.type !== 'LogicalExpression'
  )
    changes.push({ kind: 'condition', code: parent.operator === '&&' ? 'true' : 'false', shown: parent });
  if (node.type === 'BinaryExpression' && String(node.operator) in arithmetic) {
    const [left, right] = [node.left as Node, node.right as Node];
    if (!isText(left) && !isText(right))
      changes.push({
        kind: 'arithmetic',
        code: `${text(left)} ${arithmetic[String(node.operator)]} (${text(right)})`,
      });
  }
  if (node.type === 'AssignmentExpression' && String(node.operator) in assignments)
    changes.push({
      kind: 'arithmetic',
      code: `${text(node.left as Node)} ${assignments[String(node.operator)]} ${text(node.right as Node)}`,
    });
  if (node.type === 'UnaryExpression' && (node.operator === '!' || node.operator === '-'))
    changes.push({
      kind: node.operator === '!' ? 'condition' : 'arithmetic',
      code: text(node.argument as Node),
    });
  if (isNumber(node)) {
    const value = node.value as number;
    const isRule =
      (operand && parent?.type === 'BinaryExpression') ||
      (!place.inFunction &&
        (parent?.type === 'VariableDeclarator' || (parent?.type === 'Property' && key === 'value')));
    if (isRule)
      changes.push({
        kind: 'number',
        code: String(Number.isInteger(value) ? value + 1 : value * 1.1),
        ...(parent ? { shown: parent } : {}),
      });
  }
  if (node.type === 'Literal' && typeof node.value === 'boolean')
    changes.push({
      kind: 'boolean',
      code: String(!node.value),
      ...(parent?.type === 'Property' ? { shown: parent } : {}),
    });
  if (isText(node) && isGivenOut(node, place))
    changes.push({ kind: 'word', code: "''", ...(parent?.type === 'Property' ? { shown: parent } : {}) });
  if (node.type === 'CallExpression' && (node.callee as Node).type === 'MemberExpression') {
    const callee = node.callee as Node;
    const [object, property] = [callee.object as Node, callee.property as Node];
    const name = String(property.name);
    // Inside a?.b().c() a part cannot be put in brackets without changing what the question mark reaches.
    const chained = place.ancestors.some(({ type }) => type === 'ChainExpression');
    if (!chained && narrowing.has(name)) changes.push({ kind: 'removed', code: text(object) });
    if (!chained && name in opposite && (name === 'some' || name === 'every' || text(object) === 'Math')) {
      const rest = text(node).slice(property.end - node.start);
      changes.push({ kind: 'logic', code: `${text(object)}.${opposite[name]}${rest}` });
    }
  }
  return changes;
}

const oneLine = (code: string): string => code.replace(/\s+/g, ' ').trim();

/**
 * What could be wrong with this file so that a test should notice, and the file with all of it in place, asleep?
 *
 * Comparisons take their border in or out or turn round, conditions become always or never, "and" becomes "or", a sum
 * a difference, a number of a rule another one, a filter or a statement goes, a word given out becomes ''. In `code`
 * each stands behind `__mutant(number)`, counted from `first`, and does nothing until that answers true.
 */
export function makeMutants(
  file: string,
  source: string,
  first = 0,
): { readonly mutants: readonly Mutant[]; readonly code: string } {
  const parsed = parseSync(file, source);
  if (parsed.errors.length > 0) throw new Error(`${file}: ${parsed.errors[0]?.message}`);
  const text = (node: Node): string => source.slice(node.start, node.end);
  const mutants: Mutant[] = [];
  const seen = new Map<string, number>();

  function add(node: Node, place: Place, { kind, code, shown = node }: Change): number {
    const from = oneLine(text(shown));
    const to = oneLine(
      source.slice(shown.start, node.start) + code + source.slice(node.end, Math.max(shown.end, node.end)),
    );
    const where = [kind, place.within, from, to].join('\n');
    const nth = (seen.get(where) ?? 0) + 1;
    seen.set(where, nth);
    const line = source.slice(0, node.start).split('\n').length;
    mutants.push({ file, line, kind, within: place.within, from, to, nth, onLoad: !place.inFunction });
    return first + mutants.length - 1;
  }

  function rewrite(node: Node, place: Place): string {
    if (node.type.startsWith('TS') && !typed.has(node.type)) return text(node);
    if (/^(?:Import|ExportAll)/.test(node.type) || node.type === 'TemplateElement') return text(node);
    if (node.type === 'ExpressionStatement' && typeof node.directive === 'string') return text(node);
    const own = changesOf(node, place, text).map((change) => ({ number: add(node, place, change), change }));
    const isStatement =
      node.type === 'ExpressionStatement' &&
      ['CallExpression', 'AssignmentExpression', 'UpdateExpression'].includes((node.expression as Node).type);
    const removed = isStatement ? add(node, place, { kind: 'removed', code: ';' }) : undefined;
    let code = '';
    let at = node.start;
    for (const [key, child] of childrenOf(node).toSorted(([, a], [, b]) => a.start - b.start)) {
      // A shorthand property names its value twice, a pattern is no expression, a key no text.
      if (child.start < at) continue;
      if (node.type === 'Property' && key === 'key' && node.computed !== true) continue;
      code += source.slice(at, child.start);
      code += rewrite(child, {
        parent: node,
        key,
        ancestors: [...place.ancestors, node],
        within:
          place.ancestors.length < 3 || !place.inFunction ? (nameOf(node) ?? place.within) : place.within,
        inFunction: place.inFunction || isFunction(node),
      });
      at = child.end;
    }
    code += source.slice(at, node.end);
    for (const { number, change } of own.toReversed())
      code = `(__mutant(${number}) ? (${change.code}) : ${code.startsWith('(') ? code : `(${code})`})`;
    // In braces, or an "else" that follows would be taken for this one's.
    return removed === undefined ? code : `{ if (!__mutant(${removed})) { ${code} } }`;
  }

  const program = parsed.program as unknown as Node;
  const code =
    source.slice(0, program.start) +
    rewrite(program, { parent: undefined, key: '', ancestors: [], within: '', inFunction: false }) +
    source.slice(program.end);
  return { mutants, code };
}
