// npm run calibrate: how often does each interval of a quoted number hold the truth, when we know what is true?
//
//   npm run calibrate                              200 reviews a point, printed (a few minutes)
//   npm run calibrate -- --runs 1000 --out x.json  as many reviews; ten times as many at the points that decide
//   npm run calibrate -- --from 1000 --runs 2000   more of them: adds up with the first thousand
//   npm run calibrate -- --set judged-rates        one set: rates, comparisons, judged-rates, judged-comparisons
//   npm run calibrate -- --shard 2/5 --out b.json  every fifth piece of work: for job arrays
//   npm run calibrate -- --add a.json b.json       parts added up, in any order, to the same table
//   npm run calibrate -- --workers 4               threads, default 1
//   npm run calibrate -- --sample --out tests/reference/calibration/sample.json    the few reviews the tests recompute
//   npm run calibrate -- ... --write               writes tests/calibration/results and the library's own table
import { readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { runInWorkers } from '../../src/publishing/runInWorkers.ts';
import { type Part, readPart, writePart } from './parts.ts';
import { markdownTables, resultsOf, writeResults } from './results.ts';
import { type Piece, piecesOf, type SetName, samplePieces, setNames } from './sets.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    runs: { type: 'string', default: '200' },
    from: { type: 'string', default: '0' },
    set: { type: 'string', multiple: true },
    shard: { type: 'string', default: '1/1' },
    workers: { type: 'string', default: '1' },
    out: { type: 'string' },
    add: { type: 'boolean', default: false },
    write: { type: 'boolean', default: false },
    sample: { type: 'boolean', default: false },
  },
});

const parts: Part = values.add
  ? positionals.map((file) => readPart(readFileSync(file, 'utf8'))).reduce(addParts)
  : await simulated();
if (values.out !== undefined) writeFileSync(values.out, writePart(parts));
const results = resultsOf(parts);
if (values.write) writeResults(results);
console.log(markdownTables(results));

async function simulated(): Promise<Part> {
  if (values.sample) return inWorkers(samplePieces(), wholeNumber('workers', values.workers));
  const runs = wholeNumber('runs', values.runs);
  const [shard, shards] = values.shard.split('/').map((part) => wholeNumber('shard', part));
  if (shard === undefined || shards === undefined || shard > shards) {
    throw new RangeError(`shard must be i/n with i from 1 to n, received ${values.shard}`);
  }
  const sets = (values.set ?? setNames) as readonly SetName[];
  for (const set of sets) {
    if (!setNames.includes(set))
      throw new RangeError(`set must be one of ${setNames.join(', ')}, received ${set}`);
  }
  const pieces = sets
    .flatMap((set) => piecesOf(set, runs, Number(values.from)))
    .filter((_, i) => i % shards === shard - 1);
  return inWorkers(pieces, wholeNumber('workers', values.workers));
}

async function inWorkers(pieces: readonly Piece[], workers: number): Promise<Part> {
  const found = await runInWorkers<Piece, string>(new URL('./worker.ts', import.meta.url), pieces, {
    workers,
    onProgress: (done, all) => {
      if (done % 20 === 0) process.stderr.write(`${done} of ${all}\n`);
    },
  });
  return found.map(readPart).reduce(addParts);
}

function addParts(one: Part, other: Part): Part {
  return one.plus(other);
}

function wholeNumber(name: string, text: string): number {
  const value = Number(text);
  if (!(Number.isSafeInteger(value) && value >= 1)) {
    throw new RangeError(`${name} must be a whole number of at least 1, received ${text}`);
  }
  return value;
}
