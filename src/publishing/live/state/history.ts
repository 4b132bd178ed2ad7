/** States in the order they were made, and which of them is shown. */
export interface History<State> {
  readonly states: readonly State[];
  /** Place of the state shown among `states`. */
  readonly at: number;
  /** What the last step changed, so that typing a sentence is one step and not one a letter. */
  readonly lastKind: string | undefined;
}

/** How many steps can be undone. */
export const mostSteps = 100;

export const startHistory = <State>(state: State): History<State> => ({
  states: [state],
  at: 0,
  lastKind: undefined,
});

export const presentState = <State>({ states, at }: History<State>): State => states[at]!;
export const canUndo = <State>({ at }: History<State>): boolean => at > 0;
export const canRedo = <State>({ states, at }: History<State>): boolean => at < states.length - 1;

/**
 * The history after a new state. States that had been undone are forgotten; a state equal to the one shown adds
 * nothing; two steps of the same `typing` kind in a row are one.
 */
export function addState<State>(history: History<State>, state: State, typing?: string): History<State> {
  const present = presentState(history);
  if (JSON.stringify(present) === JSON.stringify(state)) return history;
  const replaces = typing !== undefined && typing === history.lastKind && history.at > 0;
  const kept = history.states.slice(0, history.at + (replaces ? 0 : 1));
  const states = [...kept, state].slice(-mostSteps - 1);
  return { states, at: states.length - 1, lastKind: typing };
}

/** One step back, or forward; the same history at its ends. */
export function stepHistory<State>(history: History<State>, by: -1 | 1): History<State> {
  const at = Math.min(history.states.length - 1, Math.max(0, history.at + by));
  return at === history.at ? history : { ...history, at, lastKind: undefined };
}
