import type { Protocol } from '../../../extraction/protocol.ts';
import type { PooledSite } from '../../../extraction/site.ts';
import {
  choicesInForce,
  countedOutcomes,
  departuresFrom,
  outcomeOf,
  plannedChoices,
  reconcile,
} from './choices.ts';
import {
  choicesOfOutcome,
  type LiveChoices,
  type LiveState,
  type LiveView,
  longestClaim,
} from './liveState.ts';

/** One thing a reader can do. */
export type LiveChange =
  | { readonly kind: 'outcome'; readonly outcome: string }
  | { readonly kind: 'view'; readonly view: LiveView }
  | { readonly kind: 'choose'; readonly choices: Partial<LiveChoices> }
  | { readonly kind: 'switch'; readonly studies: readonly string[]; readonly on: boolean }
  | { readonly kind: 'all-studies' }
  | { readonly kind: 'claim'; readonly claim: string }
  | { readonly kind: 'site'; readonly site: PooledSite }
  | { readonly kind: 'protocol' };

/** The state after a change, and what had to be said about it. */
export interface ChangedState {
  readonly state: LiveState;
  readonly said: readonly string[];
}

/**
 * The page as it opens: the first outcome, rates by site, all as the protocol has it.
 *
 * @throws RangeError when the protocol counts no outcome as events
 */
export function openingState(protocol: Protocol): LiveState {
  const [first] = countedOutcomes(protocol);
  if (first === undefined) throw new RangeError('the protocol counts no outcome as events');
  return { outcome: first.id, view: 'rates', departures: {}, switchedOff: [], claim: '', site: 'tenotomy' };
}

/** What a change makes of a state. Pure: the same state and change give the same answer. */
export function changeState(protocol: Protocol, state: LiveState, change: LiveChange): ChangedState {
  const quiet = (changed: Partial<LiveState>): ChangedState => ({
    state: { ...state, ...changed },
    said: [],
  });
  switch (change.kind) {
    case 'view':
      return quiet({ view: change.view });
    case 'claim':
      return quiet({ claim: tidyClaim(change.claim) });
    case 'site':
      return quiet({ site: change.site });
    case 'all-studies':
      return quiet({ switchedOff: [] });
    case 'protocol':
      return quiet({ departures: {}, switchedOff: [] });
    case 'switch': {
      const others = state.switchedOff.filter((study) => !change.studies.includes(study));
      return quiet({ switchedOff: change.on ? others : [...others, ...new Set(change.studies)].sort() });
    }
    case 'outcome':
      return changeOutcome(protocol, state, change.outcome);
    case 'choose': {
      const planned = plannedChoices(protocol, outcomeOf(protocol, state.outcome));
      const chosen = { ...choicesInForce(protocol, state), ...change.choices };
      const { choices, said } = reconcile(planned, chosen);
      return { state: { ...state, departures: departuresFrom(planned, choices) }, said };
    }
  }
}

/** Half a character, which no address can carry, becomes a replacement mark. */
export const tidyClaim = (claim: string): string =>
  claim.slice(0, longestClaim).replace(/\p{Surrogate}/gu, '\ufffd');

/** Who looked, for what and when belong to the outcome they were chosen for; everything else is kept. */
function changeOutcome(protocol: Protocol, state: LiveState, outcome: string): ChangedState {
  const { name } = outcomeOf(protocol, state.outcome);
  outcomeOf(protocol, outcome);
  const dropped = choicesOfOutcome.filter((choice) => state.departures[choice] !== undefined);
  const departures = Object.fromEntries(
    Object.entries(state.departures).filter(([choice]) => !(dropped as readonly string[]).includes(choice)),
  );
  return {
    state: { ...state, outcome, departures },
    said:
      outcome === state.outcome || dropped.length === 0
        ? []
        : [`Who looked, for what and when had been chosen for "${name}" and went back to the protocol.`],
  };
}
