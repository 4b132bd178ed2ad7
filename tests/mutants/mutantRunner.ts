import { setMaxListeners } from 'node:events';
import { appendFileSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { performance } from 'node:perf_hooks';
import { startTests } from '@vitest/runner';
import { expect, type RunnerTask, type RunnerTestCase, TestRunner } from 'vitest';
import { type Event, MutantSwitch, type Order, type Outcome } from './mutantSwitch.ts';

interface Ran {
  readonly test: RunnerTestCase;
  readonly name: string;
  readonly file: string;
  /** Places met when it first ran, and when it ran again. */
  readonly met: ReadonlyMap<number, number>;
  metAgain?: ReadonlyMap<number, number>;
  /** Does not pass when run again. */
  unsteady?: boolean;
  milliseconds: number;
}

/** Kept for all test files of one process, since each of them gets a runner of its own. */
interface Session {
  readonly order: Order;
  readonly wake: MutantSwitch;
  readonly ran: Ran[];
  /** Places met outside tests, while files were loaded and tests collected: test file by mutant. */
  readonly metOutside: Map<number, Set<string>>;
  /** Tests that fail without any mutant, and tell nothing of one. */
  readonly failing: Set<string>;
  filesDone: number;
}

declare global {
  var __mutant: (number: number) => boolean;
  var __mutantSession: Session | undefined;
}

function sessionOf(): Session {
  if (globalThis.__mutantSession) return globalThis.__mutantSession;
  const order = JSON.parse(readFileSync(process.env.TENOSITE_MUTANTS!, 'utf8')) as Order;
  const wake = new MutantSwitch(order.count);
  globalThis.__mutant = wake.ask;
  globalThis.__mutantSession = {
    order,
    wake,
    ran: [],
    metOutside: new Map(),
    failing: new Set(),
    filesDone: 0,
  };
  return globalThis.__mutantSession;
}

/**
 * Runs every test once with all mutants asleep, notes which it meets, and then tries each mutant with the tests that
 * meet it, the shortest first, until one fails. The modules stay loaded all the while.
 */
export default class MutantRunner extends TestRunner {
  readonly session: Session;

  constructor(config: ConstructorParameters<typeof TestRunner>[0]) {
    super(config);
    this.session = sessionOf();
    if (this.session.filesDone === 0) this.say({ at: 'begin', process: process.pid });
  }

  private say(event: Event): void {
    appendFileSync(this.session.order.events, `${JSON.stringify(event)}\n`);
  }

  private fileOf(test: RunnerTestCase): string {
    return relative(process.cwd(), test.file.filepath);
  }

  private noteOutside(file: string): void {
    for (const number of this.session.wake.takeMet().keys()) {
      const files = this.session.metOutside.get(number) ?? new Set();
      this.session.metOutside.set(number, files.add(file));
    }
  }

  async runTask(test: RunnerTestCase): Promise<void> {
    const run = TestRunner.getTestFn(test);
    const { wake, ran, failing } = this.session;
    // Each run of a test listens for its end; here one test is run hundreds of times.
    setMaxListeners(0, test.context.signal);
    const file = this.fileOf(test);
    this.noteOutside(file);
    const start = performance.now();
    try {
      await run();
    } catch (error) {
      wake.takeMet();
      failing.add(`${file} > ${test.name}`);
      this.say({
        at: 'unsteady',
        test: `${file} > ${test.name}`,
        why: `fails without any mutant: ${String(error).split('\n')[0]?.slice(0, 120)}`,
      });
      throw error;
    }
    const milliseconds = performance.now() - start;
    ran.push({ test, name: `${file} > ${test.name}`, file, met: wake.takeMet(), milliseconds });
  }

  override onAfterRunFiles(): void | Promise<void> {
    const { session } = this;
    session.filesDone++;
    if (session.filesDone < session.order.testFiles) {
      super.onAfterRunFiles();
      return;
    }
    return this.tryAll().then(() => super.onAfterRunFiles());
  }

  /** Whether the test passes, with the mutant awake or none. */
  private async passes(one: Ran, mutant: number): Promise<boolean> {
    const { wake } = this.session;
    expect.setState({ assertionCalls: 0, currentTestName: one.name });
    wake.takeMet();
    wake.endless = false;
    wake.allowed = 10_000 + 100 * (one.metAgain?.get(mutant) ?? 0);
    wake.awake = mutant;
    try {
      await TestRunner.getTestFn(one.test)();
      return true;
    } catch {
      return false;
    } finally {
      wake.awake = -1;
    }
  }

  /**
   * Whether a test file, loaded anew, passes with the mutant awake or none; and what it met.
   *
   * @param whole load everything it imports anew, too, for what runs once when a module is loaded
   */
  private async filePasses(
    file: string,
    mutant: number,
    whole = false,
  ): Promise<{ readonly passes: boolean; readonly met: ReadonlyMap<number, number> }> {
    const { wake, failing } = this.session;
    const inside = this as unknown as Inside;
    const path = join(process.cwd(), file);
    const { evaluatedModules } = inside.workerState;
    for (const [loadedFrom, modules] of evaluatedModules.fileToModulesMap) {
      if (loadedFrom !== path && !(whole && isOurs(loadedFrom))) continue;
      for (const module of modules) evaluatedModules.invalidateModule(module);
    }
    const quiet = new UntilOneFails(this.config as ConstructorParameters<typeof TestRunner>[0]);
    Object.assign(quiet, { moduleRunner: inside.moduleRunner, _otel: inside._otel, failing });
    wake.takeMet();
    wake.endless = false;
    wake.allowed = 1e7;
    wake.awake = mutant;
    const [ran] = await startTests([path], quiet);
    wake.awake = -1;
    return { passes: ran?.result?.state !== 'fail', met: wake.takeMet() };
  }

  private async tryAll(): Promise<void> {
    const { order, ran, metOutside } = this.session;
    const filesOf = new Map<number, Set<string>>();
    for (const [mutant, files] of metOutside) filesOf.set(mutant, new Set(files));
    const kills = new Map<string, number>();
    const killedBy = new Map<Ran, number[]>();
    const killed = new Set<number>();
    const outcomes: (Event & { at: 'outcome' })[] = [];
    for (const mutant of order.asked) {
      const source = order.sources[mutant]!;
      const killsOf = (one: Ran): number => kills.get(`${source} ${one.name}`) ?? 0;
      const start = performance.now();
      const meets = ran.filter(({ met }) => met.has(mutant));
      const later = filesOf.get(mutant) ?? new Set<string>();
      let outcome: Outcome = meets.length > 0 || later.size > 0 ? 'survived' : 'not reached';
      let by: string | undefined;
      // Those that noticed others of the same file first, then the shortest.
      meets.sort((a, b) => killsOf(b) - killsOf(a) || a.milliseconds - b.milliseconds);
      for (const one of meets) {
        await this.runAgain(one);
        // What a test computes once and keeps cannot be seen by running it again.
        if (one.unsteady || !one.metAgain!.has(mutant)) {
          later.add(one.file);
          continue;
        }
        if (performance.now() - start + one.milliseconds > order.limit) {
          outcome = 'undecided';
          break;
        }
        this.say({ at: 'try', mutant, test: one.name, expected: one.milliseconds });
        if (await this.passes(one, mutant)) continue;
        outcome = this.session.wake.endless ? 'endless' : 'killed';
        by = one.name;
        kills.set(`${source} ${one.name}`, killsOf(one) + 1);
        killedBy.set(one, [...(killedBy.get(one) ?? []), mutant]);
        killed.add(mutant);
        // Told at once, so that a mutant that hangs does not cost what is known of the others; the last word counts.
        this.say({ at: 'outcome', mutant, outcome, by });
        break;
      }
      outcomes.push({ at: 'outcome', mutant, outcome, ...(by === undefined ? {} : { by }) });
      if (!killed.has(mutant) && later.size > 0) filesOf.set(mutant, later);
    }
    // A test that no longer passes with all asleep kept something of a mutant: what it killed is not certain.
    for (const [one, mutants] of killedBy) {
      if (await this.passes(one, -1)) continue;
      this.say({ at: 'unsteady', test: one.name, why: 'keeps what a mutant made' });
      for (const mutant of mutants) {
        killed.delete(mutant);
        filesOf.set(mutant, new Set([...(filesOf.get(mutant) ?? []), one.file]));
      }
    }
    // What is met when a test file is loaded and its tests are collected: the file again, with the mutant awake.
    const asleep = new Map<string, { passes: boolean; met: ReadonlyMap<number, number>; expected: number }>();
    const tryFiles = async (
      mutant: number,
      files: Iterable<string>,
      whole: boolean,
    ): Promise<(Event & { at: 'outcome' }) | undefined> => {
      const start = performance.now();
      const expected = (file: string): number => asleep.get(`${whole} ${file}`)?.expected ?? 0;
      for (const file of [...files].sort((a, b) => expected(a) - expected(b))) {
        const key = `${whole} ${file}`;
        let before = asleep.get(key);
        if (!before) {
          const first = performance.now();
          before = { ...(await this.filePasses(file, -1, whole)), expected: performance.now() - first };
          asleep.set(key, before);
          if (!before.passes) this.say({ at: 'unsteady', test: file, why: 'fails when it is loaded again' });
        }
        if (!before.passes || !before.met.has(mutant)) continue;
        if (performance.now() - start + before.expected > order.limit) break;
        this.say({ at: 'try', mutant, test: file, expected: before.expected });
        if ((await this.filePasses(file, mutant, whole)).passes) continue;
        return {
          at: 'outcome',
          mutant,
          outcome: this.session.wake.endless ? 'endless' : 'killed',
          by: file,
        };
      }
      return undefined;
    };
    const left: (Event & { at: 'outcome' })[] = [];
    for (const outcome of outcomes) {
      const { mutant } = outcome;
      if (killed.has(mutant)) this.say(outcome);
      else {
        const noticed = await tryFiles(mutant, filesOf.get(mutant) ?? [], false);
        if (noticed) this.say(noticed);
        else if (metOutside.has(mutant) || filesOf.has(mutant)) left.push(outcome);
        else this.say(outcome);
      }
    }
    // What runs once when a module is loaded, and what is kept from then on: all modules anew. Last, since the tests that
    // ran before hold on to the old ones.
    for (const outcome of left) {
      const files = new Set([
        ...(filesOf.get(outcome.mutant) ?? []),
        ...(order.nearest[order.sources[outcome.mutant]!] ?? []),
      ]);
      this.say((await tryFiles(outcome.mutant, files, true)) ?? outcome);
    }
    this.say({ at: 'end' });
  }

  /** Runs a test again with all asleep, once: what it meets then, how long it takes, and whether it can be. */
  private async runAgain(one: Ran): Promise<void> {
    if (one.metAgain) return;
    const before = performance.now();
    one.unsteady = !(await this.passes(one, -1));
    if (one.unsteady) this.say({ at: 'unsteady', test: one.name, why: 'fails when it is run again' });
    else one.milliseconds = performance.now() - before;
    one.metAgain = this.session.wake.takeMet();
  }
}

/** What a runner keeps that its type does not show. */
interface Inside {
  readonly moduleRunner: unknown;
  readonly _otel: unknown;
  readonly workerState: {
    readonly evaluatedModules: {
      readonly fileToModulesMap: ReadonlyMap<string, Iterable<unknown>>;
      invalidateModule(module: unknown): void;
    };
  };
}

const ours = [join(process.cwd(), 'src'), join(process.cwd(), 'tests')];
const isOurs = (path: string): boolean =>
  ours.some((folder) => path.startsWith(folder)) && !path.includes('/tests/mutants/');

/** Runs a test file and tells nobody; ends at the first test that fails, but for those that fail anyway. */
class UntilOneFails extends TestRunner {
  failing: ReadonlySet<string> = new Set();

  async runTask(test: RunnerTestCase): Promise<void> {
    const name = `${relative(process.cwd(), test.file.filepath)} > ${test.name}`;
    if (!this.failing.has(name)) await TestRunner.getTestFn(test)();
  }

  override onAfterRunTask(test: RunnerTask): void {
    super.onAfterRunTask(test);
    if (test.result?.state === 'fail') (this as unknown as { cancelRun: boolean }).cancelRun = true;
  }
}
