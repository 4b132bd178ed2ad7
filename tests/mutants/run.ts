// Which rules does no test hold? docs/mutants.md says how to ask.
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import fc from 'fast-check';
import { markdownTable } from 'markdown-table';
import { type Plugin, parseSync } from 'vite';
import { createVitest, type Vitest } from 'vitest/node';
import equivalent from './equivalent.json' with { type: 'json' };
import { type Mutant, makeMutants } from './makeMutants.ts';
import type { Event, Order, Outcome } from './mutantSwitch.ts';
import list from './mutants.json' with { type: 'json' };
import { type Tried, tableOfScores, wasKilled, writeSurvivors } from './report.ts';

type Harmless = Omit<Mutant, 'line' | 'onLoad'> & { readonly why: string };

const root = fileURLToPath(new URL('../..', import.meta.url)).replace(/\/$/, '');
const out = join(root, 'out', 'mutants');
const orderFile = join(out, 'order.json');
const eventsFile = join(out, 'events.jsonl');

const { values: asked } = parseArgs({
  options: {
    /** Comma-separated paths or patterns instead of the list's. */
    files: { type: 'string' },
    /** How many mutants to draw, and from which seed. */
    sample: { type: 'string' },
    seed: { type: 'string', default: '20261125' },
    /** How many test files to try a source file with, the nearest by import first. */
    near: { type: 'string', default: '12' },
    /** `2/5`: the second of five parts. */
    shard: { type: 'string' },
    /** Seconds for one mutant over all its tests. */
    limit: { type: 'string', default: '60' },
    /** Percentage killed below which the command fails. */
    least: { type: 'string', default: '0' },
    /** Rewrite docs/mutants.md from what the last runs found. */
    docs: { type: 'boolean', default: false },
  },
});

const paths = (folder: string): readonly string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.ts'))
    .map((path) => `${folder}/${path.replaceAll('\\', '/')}`)
    .sort();

/** `**` stands for any folders, `*` for any name; a folder stands for all in it. */
function matching(all: readonly string[], patterns: readonly string[]): readonly string[] {
  const tests = patterns.map((pattern) => {
    const expression = pattern
      .replace(/[.+^${}()|[\]\\]/g, '\\$&')
      .replaceAll('**/', '\0')
      .replaceAll('*', '[^/]*')
      .replaceAll('\0', '(?:.*/)?');
    return new RegExp(`^${expression}(?:/.*)?$`);
  });
  return all.filter((path) => tests.some((test) => test.test(path)));
}

const imports = new Map<string, readonly string[]>();
/** The files of ours that a file names. */
function importsOf(path: string): readonly string[] {
  const known = imports.get(path);
  if (known) return known;
  const { module } = parseSync(path, readFileSync(join(root, path), 'utf8'));
  const found = [
    ...module.staticImports.map(({ moduleRequest }) => moduleRequest.value),
    ...module.staticExports.flatMap(({ entries }) =>
      entries.map(({ moduleRequest }) => moduleRequest?.value),
    ),
  ]
    .filter((from) => from?.startsWith('.') && from.endsWith('.ts'))
    .map((from) => relative(root, resolve(root, dirname(path), from!)).replaceAll('\\', '/'))
    .filter((from) => existsSync(join(root, from)));
  imports.set(path, found);
  return found;
}

/** Every file of ours that a file loads, by how many imports lie between. */
function reachOf(path: string): ReadonlyMap<string, number> {
  const reach = new Map([[path, 0]]);
  for (const [file, steps] of reach)
    for (const next of importsOf(file)) if (!reach.has(next)) reach.set(next, steps + 1);
  return reach;
}

// What to change.
const sources = matching(paths('src'), asked.files?.split(',') ?? list.files);
const mutants: Mutant[] = [];
const codeOf = new Map<string, string>();
for (const file of sources) {
  const made = makeMutants(file, readFileSync(join(root, file), 'utf8'), mutants.length);
  mutants.push(...made.mutants);
  codeOf.set(join(root, file), made.code);
}
const keyOf = ({ file, kind, within, from, to, nth }: Omit<Mutant, 'line' | 'onLoad'>): string =>
  JSON.stringify([file, kind, within, from, to, nth]);
const whyHarmless = new Map((equivalent as readonly Harmless[]).map((each) => [keyOf(each), each.why]));
const harmless = mutants.flatMap((mutant) => {
  const why = whyHarmless.get(keyOf(mutant));
  return why === undefined ? [] : [{ ...mutant, why }];
});
const stale = (equivalent as readonly Harmless[]).filter(
  (each) => sources.includes(each.file) && !harmless.some((mutant) => keyOf(mutant) === keyOf(each)),
);
for (const { file, from } of stale) console.log(`equivalent.json: no mutant any more of ${from} in ${file}`);

let chosen = mutants.map((_, number) => number).filter((number) => !whyHarmless.has(keyOf(mutants[number]!)));
if (asked.sample !== undefined) {
  const [drawn] = fc.sample(
    fc.shuffledSubarray(chosen, {
      minLength: Math.min(chosen.length, Number(asked.sample)),
      maxLength: Math.min(chosen.length, Number(asked.sample)),
    }),
    { numRuns: 1, seed: Number(asked.seed) },
  );
  chosen = drawn!.toSorted((a, b) => a - b);
}
if (asked.shard !== undefined) {
  const [part, of] = asked.shard.split('/').map(Number);
  chosen = chosen.filter((_, at) => at % of! === part! - 1);
}

// The tests that load any of it: of each file the nearest, by how many imports lie between.
const changed = new Set(chosen.map((number) => mutants[number]!.file));
const reaches = matching(paths('tests'), list.tests).map((path) => ({ path, reach: reachOf(path) }));
const nearest = (file: string, count: number): readonly string[] =>
  reaches
    .filter(({ reach }) => reach.has(file))
    .toSorted((a, b) => a.reach.get(file)! - b.reach.get(file)!)
    .slice(0, count)
    .map(({ path }) => path);
const testFiles = [...new Set([...changed].flatMap((file) => nearest(file, Number(asked.near))))];

const asleep: Plugin = {
  name: 'mutants',
  enforce: 'pre',
  load: (id) => codeOf.get(id.split('?')[0]!),
};
const here = (name: string): string => join(root, 'tests', 'mutants', name);

function startVitest(): Promise<Vitest> {
  return createVitest(
    'test',
    {
      root,
      config: false,
      watch: false,
      include: testFiles as string[],
      setupFiles: ['tests/helpers/quietConsole.ts', 'tests/helpers/fixedSeed.ts', here('quickFailure.ts')],
      runner: here('mutantRunner.ts'),
      reporters: [{}],
      pool: 'forks',
      isolate: false,
      fileParallelism: false,
      testTimeout: 60_000,
      teardownTimeout: 1_000,
      onConsoleLog: () => false,
    },
    { plugins: [asleep], server: { watch: null }, logLevel: 'silent' },
  );
}

const eventsSoFar = (): readonly Event[] =>
  existsSync(eventsFile)
    ? readFileSync(eventsFile, 'utf8')
        .split('\n')
        .filter((line) => line.endsWith('}'))
        .map((line) => JSON.parse(line) as Event)
    : [];

/** Runs the test files once, and ends the process of a mutant that hangs; says which that was. */
async function run(order: Order): Promise<number | undefined> {
  rmSync(eventsFile, { force: true });
  writeFileSync(orderFile, JSON.stringify(order));
  let hung: number | undefined;
  let last = { count: 0, since: performance.now() };
  const watch = setInterval(() => {
    const events = eventsSoFar();
    if (events.length !== last.count) last = { count: events.length, since: performance.now() };
    const now = events.at(-1);
    const begun = events.find((event) => event.at === 'begin');
    if (!begun) return;
    if (now?.at !== 'try') return;
    const patience = 20_000 + 10 * now.expected;
    if (performance.now() - last.since < patience) return;
    hung = now.mutant;
    process.kill(begun.process, 'SIGKILL');
  }, 1_000);
  const vitest = await startVitest();
  try {
    await vitest.runTestSpecifications(await vitest.globTestSpecifications());
    return hung;
  } finally {
    clearInterval(watch);
    await vitest.close();
  }
}

mkdirSync(out, { recursive: true });
process.env.TENOSITE_MUTANTS = orderFile;
const started = performance.now();
const tried = new Map<number, { outcome: Outcome; by?: string }>();
const limit = 1_000 * Number(asked.limit);
console.log(
  `${chosen.length} of ${mutants.length} mutants in ${changed.size} files, ${testFiles.length} test files.`,
);

// All of them in one process with everything loaded; once more for each that hangs.
for (let left = chosen; left.length > 0; left = chosen.filter((number) => !tried.has(number))) {
  const order: Order = {
    count: mutants.length,
    sources: mutants.map(({ file }) => file),
    asked: left,
    nearest: Object.fromEntries(
      [...changed].map((file) => [file, nearest(file, Math.min(3, Number(asked.near)))]),
    ),
    testFiles: testFiles.length,
    limit,
    events: eventsFile,
  };
  const hung = await run(order);
  const events = eventsSoFar();
  for (const event of events) {
    if (event.at === 'unsteady') console.log(`  ${event.test} ${event.why}`);
    if (event.at === 'outcome') tried.set(event.mutant, event);
  }
  if (hung !== undefined) tried.set(hung, { outcome: 'endless' });
  else if (!events.some((event) => event.at === 'end'))
    throw new Error('the tests ended before the mutants were tried');
}

const results: Tried[] = chosen.map((number) => {
  const { outcome, by } = tried.get(number)!;
  return { ...mutants[number]!, outcome, ...(by === undefined ? {} : { by }) };
});
const name = ['results', asked.shard?.replace('/', '-of-')].filter(Boolean).join('-');
writeFileSync(join(out, `${name}.json`), `${JSON.stringify(results, null, 1)}\n`);
console.log(markdownTable(tableOfScores(results), { align: ['l', 'r', 'r', 'r', 'r', 'r'] }));
for (const { file, line, kind, from, to, outcome } of results) {
  if (outcome !== 'killed' && outcome !== 'endless')
    console.log(`${file}:${line} ${outcome} (${kind}): ${from}  =>  ${to}`);
}
console.log(`${Math.round((performance.now() - started) / 1_000)} s; out/mutants/${name}.json`);
if (asked.docs) writeSurvivors(root, results, harmless);

const share = (100 * results.filter(wasKilled).length) / results.length;
if (share < Number(asked.least)) {
  console.error(`Fewer than ${asked.least} % of these mutants were noticed.`);
  process.exitCode = 1;
}
