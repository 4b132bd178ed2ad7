import { pooledSites } from '../../../extraction/site.ts';
import { openingState, tidyClaim } from './changeState.ts';
import { countedOutcomes, departuresFrom, outcomeOf, plannedChoices, reconcile } from './choices.ts';
import { hashKeys, readList, readListAgain, readText, writeList, writeText } from './hashKeys.ts';
import { type LiveChoices, type LiveState, type LiveView, liveViews } from './liveState.ts';
import { type Choosable, vocabularyOf } from './vocabulary.ts';

/** Version of the address; it changes when an old address would be misread. */
export const hashVersion = '1';

/** A state read from an address, and what in the address could not be followed. */
export interface HashReading {
  readonly state: LiveState;
  readonly ignored: readonly string[];
}

/**
 * The state as the part of an address after `#`: keys and values a person can read, and only what differs from the
 * page as it opens.
 *
 * @example
 * writeHash(review, state) // 'v=1&outcome=revision&view=forest&spread=paule-mandel&without=norholt-2009'
 */
export function writeHash({ protocol }: Pick<Choosable, 'protocol'>, state: LiveState): string {
  const opening = openingState(protocol);
  const parts: string[] = [];
  const add = (key: string, value: string): number => parts.push(`${key}=${value}`);
  if (state.outcome !== opening.outcome) add('outcome', writeText(state.outcome));
  if (state.view !== opening.view) add('view', state.view);
  for (const name of Object.keys(hashKeys) as (keyof LiveChoices)[]) {
    if (state.departures[name] !== undefined) add(hashKeys[name].key, writeChoice(name, state.departures));
  }
  if (state.switchedOff.length > 0) add('without', writeList(state.switchedOff));
  if (state.claim !== opening.claim) add('claim', writeText(state.claim));
  if (state.site !== opening.site) add('site', state.site);
  return parts.length === 0 ? '' : [`v=${hashVersion}`, ...parts].join('&');
}

const writeChoice = <Name extends keyof LiveChoices>(name: Name, departures: Partial<LiveChoices>): string =>
  hashKeys[name].write(departures[name] as LiveChoices[Name]);

/**
 * What does an address ask for?
 *
 * Never throws: what is unknown or impossible is ignored, and said in a sentence.
 */
export function readHash(review: Choosable, hash: string): HashReading {
  const { protocol } = review;
  const opening = openingState(protocol);
  const ignored: string[] = [];
  const values = pairsOf(hash, ignored);
  const take = (key: string): string | undefined => {
    const value = values.get(key);
    values.delete(key);
    return value;
  };
  const refuse = (key: string, value: string, expected: string): void => {
    ignored.push(`${key} is "${shown(value)}"; expected ${expected}. It was left as it was.`);
  };
  const choice = <Value extends string>(key: string, allowed: readonly Value[], own: Value): Value => {
    const text = take(key);
    if (text === undefined) return own;
    const value = allowed.find((each) => each === attempt(readText, text));
    if (value === undefined) refuse(key, text, `one of ${allowed.map((each) => `"${each}"`).join(', ')}`);
    return value ?? own;
  };

  const version = take('v');
  if (values.size > 0 && version !== hashVersion)
    ignored.push(
      `The address was made for version ${shown(version ?? 'none')} of this page, which reads version ${hashVersion}: check that it shows what was meant.`,
    );
  const outcome = choice(
    'outcome',
    countedOutcomes(protocol).map(({ id }) => id),
    opening.outcome,
  );
  const view = choice<LiveView>('view', liveViews, opening.view);
  const site = choice('site', pooledSites, opening.site);

  const words = vocabularyOf(review, outcomeOf(protocol, outcome));
  const chosen: Partial<Record<keyof LiveChoices, unknown>> = {};
  for (const name of Object.keys(hashKeys) as (keyof LiveChoices)[]) {
    const text = take(hashKeys[name].key);
    if (text === undefined) continue;
    const read = attempt((value) => hashKeys[name].read(value, words), text);
    if (read !== undefined && 'value' in read) chosen[name] = read.value;
    else refuse(hashKeys[name].key, text, read?.expected ?? 'text with every % written as %25');
  }
  const planned = plannedChoices(protocol, outcomeOf(protocol, outcome));
  const { choices, said } = reconcile(planned, { ...planned, ...(chosen as Partial<LiveChoices>) });

  const without = take('without');
  const wanted =
    without === undefined ? [] : (attempt(without.includes(',') ? readList : readListAgain, without) ?? []);
  const known = new Set(review.studies.map(({ study }) => study));
  for (const study of wanted) {
    if (!known.has(study)) ignored.push(`without names "${shown(study)}", which is no study of this review.`);
  }
  const claimText = take('claim');
  const claim = claimText === undefined ? opening.claim : attempt(readText, claimText);
  if (claimText !== undefined && claim === undefined)
    refuse('claim', claimText, 'text with every % written as %25');
  for (const [key, value] of values)
    ignored.push(`"${shown(key)}=${shown(value)}" means nothing to this page.`);
  return {
    state: {
      outcome,
      view,
      site,
      departures: departuresFrom(planned, choices),
      switchedOff: wanted.filter((study) => known.has(study)).sort(),
      claim: tidyClaim(claim ?? opening.claim),
    },
    ignored: [...ignored, ...said],
  };
}

function pairsOf(hash: string, ignored: string[]): Map<string, string> {
  const values = new Map<string, string>();
  for (const part of hash.replace(/^#/, '').split('&')) {
    if (part === '') continue;
    const [key = '', ...rest] = part.split('=');
    if (values.has(key)) ignored.push(`"${shown(key)}" stands twice in the address; the first counts.`);
    else values.set(key, rest.join('='));
  }
  return values;
}

function attempt<Value>(read: (text: string) => Value, text: string): Value | undefined {
  try {
    return read(text);
  } catch {
    return undefined; // An escape that is cut off, such as "%2".
  }
}

const shown = (text: string): string => (text.length > 60 ? `${text.slice(0, 60)}…` : text);
