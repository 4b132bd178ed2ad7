/** What the main process asks of the one that runs the tests, in a file whose path is in `TENOSITE_MUTANTS`. */
export interface Order {
  /** How many mutants sleep in the loaded files. */
  readonly count: number;
  /** The source file of each. */
  readonly sources: readonly string[];
  /** Numbers of those to try. */
  readonly asked: readonly number[];
  /** The test files nearest to each source file, for what runs once when it is loaded. */
  readonly nearest: Readonly<Record<string, readonly string[]>>;
  readonly testFiles: number;
  /** Milliseconds for one mutant over all its tests. */
  readonly limit: number;
  /** File to which events are added, one JSON object a line. */
  readonly events: string;
}

/** What came of a mutant. */
export type Outcome =
  | 'killed'
  /** It would have run for ever. */
  | 'endless'
  | 'survived'
  /** No test runs the code it stands in. */
  | 'not reached'
  /** The time for one mutant was over before its tests were. */
  | 'undecided';

export type Event =
  | { readonly at: 'begin'; readonly process: number }
  /** A test with one mutant awake starts; `expected` is what it takes without. */
  | { readonly at: 'try'; readonly mutant: number; readonly test: string; readonly expected: number }
  | {
      readonly at: 'outcome';
      readonly mutant: number;
      readonly outcome: Outcome;
      readonly by?: string;
    }
  | { readonly at: 'unsteady'; readonly test: string; readonly why: string }
  | { readonly at: 'end' };

/** Which mutant is awake, and how often each place was met. */
export class MutantSwitch {
  awake = -1;
  allowed = Number.POSITIVE_INFINITY;
  endless = false;
  readonly met: Uint32Array;

  constructor(count: number) {
    this.met = new Uint32Array(count);
  }

  readonly ask = (number: number): boolean => {
    const times = ++this.met[number]!;
    if (number !== this.awake) return false;
    if (times > this.allowed) {
      this.endless = true;
      throw new Error('this mutant runs for ever');
    }
    return true;
  };

  /** Forgets what was met and says what it was. */
  takeMet(): ReadonlyMap<number, number> {
    const met = new Map<number, number>();
    for (let number = 0; number < this.met.length; number++) {
      if (this.met[number]! > 0) met.set(number, this.met[number]!);
    }
    this.met.fill(0);
    return met;
  }
}
