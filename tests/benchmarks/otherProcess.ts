import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import type { Contestant } from './benchmark.ts';

/** A program that is timed from the inside: started once, then asked for one batch after another. */
export interface OtherProgram {
  readonly name: string;
  readonly command: string;
  readonly arguments: readonly string[];
  /** Fits or pools in one batch. */
  readonly runs: number;
  /** What the library gives for the quantity the program answers with, so that both do the same work. */
  readonly expected: number;
  /** Largest relative difference from it. */
  readonly within: number;
  /** Sent on standard input before the first batch, for data too long for a command line. */
  readonly data?: string;
}

/**
 * A contestant in a process of its own, kept open so that only the work is timed. The program prints one line when it
 * is ready; for each number of runs it reads, it prints milliseconds per run and the value it found.
 */
export class OtherProcess implements Contestant {
  readonly name: string;
  readonly #process: ChildProcess;
  readonly #lines: AsyncIterator<string>;
  readonly #program: OtherProgram;
  #ready = false;

  constructor(program: OtherProgram) {
    this.name = program.name;
    this.#program = program;
    this.#process = spawn(program.command, program.arguments, { stdio: ['pipe', 'pipe', 'ignore'] });
    this.#lines = createInterface({ input: this.#process.stdout! })[Symbol.asyncIterator]();
    if (program.data !== undefined) this.#process.stdin!.write(`${program.data}\n`);
  }

  batch = async (): Promise<number> => {
    if (!this.#ready) {
      await this.#next();
      this.#ready = true;
    }
    this.#process.stdin!.write(`${this.#program.runs}\n`);
    const [time, value] = (await this.#next()).split(' ').map(Number);
    const { expected, within } = this.#program;
    if (!(Math.abs(value! - expected) <= within * Math.abs(expected))) {
      throw new Error(`${this.name} finds ${value}, the library ${expected}: not the same work`);
    }
    return time!;
  };

  close = (): void => {
    this.#process.stdin!.end();
  };

  async #next(): Promise<string> {
    const { value, done } = await this.#lines.next();
    if (done) {
      const [code] =
        this.#process.exitCode === null ? await once(this.#process, 'exit') : [this.#process.exitCode];
      throw new Error(`${this.name} ended with code ${code}`);
    }
    return value;
  }
}
