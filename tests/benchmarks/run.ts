// Prints every speed figure beside its target and its reference. Exits 1 when a ratio falls short or a budget is
// missed threefold. To add one: a file in entries/ that exports `entry`. `npm run bench -- pooling live` runs those alone.
//
// Each entry has a process of its own: functions that another entry has called with values of other shapes are compiled
// more generally, and a figure would then depend on the order of the files.
import { fork } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { setImmediate as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { markdownTable } from 'markdown-table';
import ora from 'ora';
import stringWidth from 'string-width';
import { type Benchmark, type BenchmarkEntry, type Contestant, median } from './benchmark.ts';

const folder = new URL('./entries/', import.meta.url);
const progress = ora({ stream: process.stderr });
const rows: string[][] = [['what', 'subject', 'reference', 'figure', 'target', 'verdict']];
let failures = 0;

const milliseconds = (time: number): string => `${time >= 100 ? time.toFixed(0) : time.toPrecision(3)} ms`;

async function timed(contestant: Contestant): Promise<number> {
  const time = await contestant.batch();
  await pause();
  return time;
}

async function measure(benchmark: Benchmark): Promise<string[]> {
  if (benchmark.kind === 'skipped') return [benchmark.name, '', '', '', '', `skipped: ${benchmark.reason}`];
  const rounds = benchmark.rounds ?? 15;
  if (benchmark.kind === 'budget') {
    const times: number[] = [];
    for (let round = 1; round <= rounds; round++) {
      progress.text = `${benchmark.name}: ${round} of ${rounds}`;
      times.push(await timed(benchmark.subject));
    }
    const time = median(times);
    const missed = time > 3 * benchmark.budgetMilliseconds;
    if (missed) failures += 1;
    const over = time > benchmark.budgetMilliseconds;
    return [
      benchmark.name,
      `${benchmark.subject.name} ${milliseconds(time)}`,
      '',
      milliseconds(time),
      `budget ${milliseconds(benchmark.budgetMilliseconds)}`,
      missed ? 'MISSED threefold' : over ? 'over, within threefold' : 'met',
    ];
  }
  const { subject, reference, direction, target } = benchmark;
  const subjectTimes: number[] = [];
  const referenceTimes: number[] = [];
  const ratios: number[] = [];
  // The first pair warms both up and is not counted.
  await timed(subject);
  await timed(reference);
  for (let round = 1; round <= rounds; round++) {
    progress.text = `${benchmark.name}: ${round} of ${rounds}`;
    const a = await timed(subject);
    const b = await timed(reference);
    subjectTimes.push(a);
    referenceTimes.push(b);
    ratios.push(direction === 'at-most' ? a / b : b / a);
  }
  const ratio = median(ratios);
  const short = direction === 'at-most' ? ratio > target : ratio < target;
  if (short) failures += 1;
  return [
    benchmark.name,
    `${subject.name} ${milliseconds(median(subjectTimes))}`,
    `${reference.name} ${milliseconds(median(referenceTimes))}`,
    direction === 'at-most' ? `${ratio.toFixed(2)} times the time` : `${ratio.toFixed(1)} times faster`,
    direction === 'at-most' ? `at most ${target}` : `at least ${target}`,
    short ? 'SHORT' : 'met',
  ];
}

/** What the process of one entry tells the one that started it. */
interface EntryFigures {
  readonly rows: readonly string[][];
  readonly failures: number;
}

async function runEntry(file: string): Promise<void> {
  progress.start(file);
  const { entry } = (await import(new URL(file, folder).href)) as { entry: BenchmarkEntry };
  const measured: string[][] = [];
  for (const benchmark of await entry()) {
    try {
      measured.push(await measure(benchmark));
    } finally {
      if (benchmark.kind !== 'skipped') benchmark.subject.close?.();
      if (benchmark.kind === 'ratio') benchmark.reference.close?.();
    }
  }
  progress.stop();
  process.send?.({ rows: measured, failures } satisfies EntryFigures, () => process.exit(0));
}

function inOwnProcess(file: string): Promise<EntryFigures> {
  return new Promise((resolve, reject) => {
    const child = fork(fileURLToPath(import.meta.url), ['--entry', file]);
    let figures: EntryFigures | undefined;
    child.on('message', (message) => {
      figures = message as EntryFigures;
    });
    child.on('error', reject);
    child.on('exit', (code) =>
      code === 0 && figures !== undefined
        ? resolve(figures)
        : reject(new Error(`${file} ended with code ${code} and without figures`)),
    );
  });
}

const asked = process.argv.slice(2);
if (asked[0] === '--entry') {
  await runEntry(asked[1]!);
} else {
  const names = readdirSync(folder)
    .filter((file) => file.endsWith('.ts'))
    .sort();
  const unknown = asked.filter((name) => !names.includes(`${name}.ts`));
  if (unknown.length > 0) throw new Error(`no entry ${unknown.join(', ')}; there are ${names.join(', ')}`);
  for (const file of names) {
    if (asked.length > 0 && !asked.includes(file.replace('.ts', ''))) continue;
    const figures = await inOwnProcess(file);
    rows.push(...figures.rows);
    failures += figures.failures;
  }
  console.log(markdownTable(rows, { stringLength: stringWidth }));
  console.log(failures === 0 ? '\nEvery target met.' : `\n${failures} target(s) missed.`);
  process.exitCode = failures === 0 ? 0 : 1;
}
