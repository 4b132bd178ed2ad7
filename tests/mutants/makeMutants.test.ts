import { describe, expect, it } from 'vitest';
import { makeMutants } from './makeMutants.ts';

const changesOf = (source: string): readonly string[] =>
  makeMutants('src/rule.ts', source).mutants.map(({ from, to }) => `${from} => ${to}`);

/** The function `rule` of a source, with one of its mutants awake, or none. */
function awake(source: string, number: number): (...values: readonly unknown[]) => unknown {
  const { code } = makeMutants('src/rule.js', source);
  return new Function('__mutant', `${code.replace('export ', '')}; return rule;`)(
    (asked: number) => asked === number,
  );
}

describe('makeMutants', () => {
  it.each<[string, readonly string[]]>([
    ['a < b', ['a < b => a <= b', 'a < b => a >= b']],
    ['a <= b', ['a <= b => a < b', 'a <= b => a > b']],
    ['a > b', ['a > b => a >= b', 'a > b => a <= b']],
    ['a >= b', ['a >= b => a > b', 'a >= b => a < b']],
    ['a === b', ['a === b => a !== b']],
    ['!a', ['!a => a']],
    ['a ?? b', ['a ?? b => a']],
    ['a - b', ['a - b => a + (b)']],
    ['a + 2', ['a + 2 => a - (2)', 'a + 2 => a + 3']],
    ['a * 0.5', ['a * 0.5 => a / (0.5)', 'a * 0.5 => a * 0.55']],
    ["a ? 'fits' : `none`", ['a => true', 'a => false', "'fits' => ''", "`none` => ''"]],
    ["a + ' studies'", []],
    ['a.filter((x) => x)', ['a.filter((x) => x) => a']],
    ['a.some(b)', ['a.some(b) => a.every(b)']],
    ['Math.min(a, b)', ['Math.min(a, b) => Math.max(a, b)']],
    ['true', ['true => false']],
    ['a?.b.filter(c)', []],
    ['b[\'a\'] as "word"', []],
  ])('of %s', (expression, changes) => {
    expect(changesOf(`export function rule(a, b) { return ${expression}; }`)).toEqual(changes);
  });

  it('a condition is always or never true, and each of two no longer counts', () => {
    expect(changesOf('function rule(a, b) { if (a && b) b.tell(); }')).toEqual([
      'a && b => true',
      'a && b => false',
      'a && b => (a) || (b)',
      'a && b => true && b',
      'a && b => a && true',
      'b.tell(); => ;',
    ]);
  });

  it('types, imports, keys, words compared with and words of errors stay as they are', () => {
    const source = `import { x } from './x.ts';
export type Kind = 'one' | 'two';
export function rule(a: Kind): { readonly 'a key': 1 } {
  if (a === 'one') throw new RangeError('a must be two');
  return { 'a key': 1 };
}`;
    expect(changesOf(source)).toEqual(["a === 'one' => true", "a === 'one' => false"]);
  });

  it('sleeps until it is asked for, and then changes one thing', () => {
    const source =
      'export function rule(a, b) { const found = []; if (a < b) found.push("less"); else found.push("more"); return found; }';
    const { mutants } = makeMutants('src/rule.js', source);
    expect(awake(source, -1)(1, 1)).toEqual(['more']);
    expect(awake(source, -1)(1, 2)).toEqual(['less']);
    const answers = mutants.map(({ from, to }, number) => [`${from} => ${to}`, awake(source, number)(1, 1)]);
    expect(Object.fromEntries(answers)).toMatchObject({
      'a < b => a <= b': ['less'],
      'a < b => true': ['less'],
      'a < b => false': ['more'],
      'found.push("more"); => ;': [],
      '"more" => \'\'': [''],
    });
  });

  it('tells two of the same text in one function apart, and knows which run when the file is loaded', () => {
    const { mutants } = makeMutants(
      'src/rule.ts',
      'const most = 3; export const rule = (a) => [a > most ? 1 : 2, a > most ? 3 : 4];',
    );
    expect(mutants.map(({ within, from, to, nth, onLoad }) => [within, from, to, nth, onLoad])).toEqual([
      ['most', 'most = 3', 'most = 4', 1, true],
      ['rule', 'a > most', 'a >= most', 1, false],
      ['rule', 'a > most', 'true', 1, false],
      ['rule', 'a > most', 'false', 1, false],
      ['rule', 'a > most', 'a >= most', 2, false],
      ['rule', 'a > most', 'true', 2, false],
      ['rule', 'a > most', 'false', 2, false],
    ]);
  });
});
