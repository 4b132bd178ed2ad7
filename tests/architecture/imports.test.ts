import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import allowed from './arrows.json' with { type: 'json' };

const root = fileURLToPath(new URL('../..', import.meta.url));

const scripts = (folder: string): readonly string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((path) => /\.(?:ts|mjs)$/.test(path))
    .map((path) => `${folder}/${path.replaceAll('\\', '/')}`)
    .sort();

const read = (path: string): string => readFileSync(join(root, path), 'utf8');

/** What a file imports, re-exports or loads later; comments and the words inside them do not count. */
function importsOf(text: string): readonly string[] {
  const code = text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
  return [...code.matchAll(/(?:\bfrom|\bimport|\brequire)\s*\(?\s*(['"])(?<from>[^'"\s]+)\1/g)].map(
    (match) => match.groups?.from ?? '',
  );
}

const sources = scripts('src');
const stageOf = (path: string): string => path.split('/')[1] ?? '';

describe('importsOf', () => {
  it('sees every way to import and no comment', () => {
    const text = `import a from 'one';
import type { B } from "two";
export { c } from './three.ts';
import './four.ts';
const d = await import('./five.ts');
const words = { a: 'taken from', b: 'no' };
// import e from 'no'
/* from 'no' */
import {
  f,
} from './six.ts';`;
    expect(importsOf(text)).toEqual(['one', 'two', './three.ts', './four.ts', './five.ts', './six.ts']);
  });
});

/** Names a file imports or re-exports as values, `* as` for a whole module; types do not count. */
function valuesOf(text: string): readonly string[] {
  const code = text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
  const named = [...code.matchAll(/\b(?:import|export) \{([^}]*)\} from/g)].flatMap(([, names]) =>
    names!
      .split(',')
      .map((name) => name.trim().split(' as ')[0]!)
      .filter((name) => name !== '' && !name.startsWith('type ')),
  );
  const whole = [
    ...code.matchAll(/(?:\b(?:import|export) \*(?: as \w+)? from|\bimport\() ?(['"])([^'"]+)\1/g),
  ].flatMap(([, , from]) =>
    /\/(?:pooling|comparison|certainty|effects)\//.test(from!) ? [`all of ${from}`] : [],
  );
  return [...named, ...whole];
}

describe('valuesOf', () => {
  it('sees what is imported to be run, whatever the name it is given, and no type', () => {
    const text = `import { a, type B, c as d } from './one.ts';
import type { E } from './two.ts';
export { f } from './three.ts';
export type { G } from './four.ts';
import * as pooling from '../pooling/poolRates.ts';
const h = await import('../certainty/rateCertainty.ts');
// import { no } from './no.ts';
import {
  i,
} from './five.ts';`;
    expect(valuesOf(text)).toEqual([
      'a',
      'c',
      'f',
      'i',
      'all of ../pooling/poolRates.ts',
      'all of ../certainty/rateCertainty.ts',
    ]);
  });
});

/** Functions that select studies, estimate, pool, compare or rate: what a number of a product may come from through answers alone. */
const estimators = [
  'selectEvents',
  'selectScores',
  'protocolOptions',
  'estimateRates',
  'estimateMeans',
  'estimateScoreContrasts',
  'poolRates',
  'poolBySite',
  'poolEstimates',
  'poolOneArm',
  'poolTwoArms',
  'comparePair',
  'comparePairs',
  'contrastSingleArms',
  'siteLayers',
  'networkFromCounts',
  'fitNetwork',
  'penalisedNetwork',
  'splitNodes',
  'absoluteEffect',
  'certaintyOfReview',
  'rateCertainty',
  'rateNetworkEstimate',
];

/** Files of products that run one of them, each with the reason. */
const mayEstimate: Readonly<Record<string, readonly [name: string, reason: string]>> = {
  'src/publishing/poolingDepartures.ts': [
    'protocolOptions',
    'says in which choices a way of pooling departs from the protocol, and pools nothing',
  ],
};

describe('products read answers', () => {
  const products = sources.filter((path) =>
    /^src\/(?:publishing|tables|figures|changes|claims)\//.test(path),
  );

  it('every name of the list is a function of the library, and every exception is still one', () => {
    const exported = sources
      .filter((path) => /^src\/(?:extraction|effects|pooling|comparison|certainty)\//.test(path))
      .map(read)
      .join('\n');
    const gone = estimators.filter(
      (name) => !new RegExp(`export (?:async )?(?:function|const) ${name}\\b`).test(exported),
    );
    expect(gone).toEqual([]);
    for (const [path, [name]] of Object.entries(mayEstimate))
      expect(valuesOf(read(path)), path).toContain(name);
  });

  it.each(products)('%s selects, pools, compares and rates through answers', (path) => {
    const own = valuesOf(read(path)).filter(
      (name) => estimators.includes(name) || name.startsWith('all of '),
    );
    expect(own.filter((name) => name !== mayEstimate[path]?.[0])).toEqual([]);
  });

  it('answers hand on results, and no function that estimates', () => {
    const handedOn = sources
      .filter((path) => path.startsWith('src/answers/'))
      .flatMap((path) =>
        [...read(path).matchAll(/\bexport (?!type )(?:\{([^}]*)\}|\*) from '([^']*)'/g)].flatMap(
          ([, names, from]) =>
            from!.startsWith('./') ? [] : (names ?? '*').split(',').map((name) => `${path}: ${name.trim()}`),
        ),
      )
      .filter((name) => !/: type /.test(name));
    expect(handedOn).toEqual([]);
  });
});

describe('the picture the code shows', () => {
  it('every folder of src is a stage that arrows.json knows', () => {
    const folders = sources.map((path) => path.split('/')).filter((parts) => parts.length > 2);
    for (const [, folder] of folders) expect(Object.keys(allowed)).toContain(folder);
  });

  it('arrows point one way: no stage may reach itself through others', () => {
    const arrows: Readonly<Record<string, readonly string[]>> = allowed;
    const reaches = (from: string, to: string): boolean =>
      (arrows[from] ?? []).some((next) => next === to || reaches(next, to));
    for (const stage of Object.keys(arrows)) expect(reaches(stage, stage), stage).toBe(false);
  });

  it.each(sources.filter((path) => path !== 'src/index.ts'))('%s imports earlier stages only', (path) => {
    const mayImport: readonly string[] = (allowed as Record<string, readonly string[]>)[stageOf(path)] ?? [];
    for (const from of importsOf(read(path)).filter((name) => name.startsWith('.'))) {
      const target = relative(root, join(root, dirname(path), from)).replaceAll('\\', '/');
      expect(target, `${path} imports ${from}`).toMatch(/^src\/./);
      const stage = stageOf(target);
      if (stage !== stageOf(path)) expect(mayImport, `${path} imports ${from}`).toContain(stage);
    }
  });

  it('only file reading and publishing know Node', () => {
    const withNode = sources.filter((path) => importsOf(read(path)).some((name) => /^node:/.test(name)));
    const others = withNode.filter(
      (path) => !path.startsWith('src/publishing/') && path !== 'src/extraction/readReviewFolder.ts',
    );
    expect(others).toEqual([]);
  });

  it('src/index.ts is re-exports and nothing else', () => {
    const code = read('src/index.ts').replace(/^\s*\/\/.*$/gm, '');
    const rest = code.replace(/export (?:type )?\{[^}]*\} from '\.\/[\w/]+\.ts';/g, '');
    expect(rest.trim()).toBe('');
  });

  it('notebooks import the index and their own data only', () => {
    for (const path of scripts('notebooks')) {
      for (const from of importsOf(read(path)))
        expect(from, path).toMatch(/^(?:\.\.\/src\/index\.ts|\.\/data\/\w+\.ts)$/);
    }
  });
});
