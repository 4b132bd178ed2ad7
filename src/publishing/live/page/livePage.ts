import type { Review } from '../../../extraction/review.ts';
import { inventedDataWarning, showsInventedData } from '../../pageFacts.ts';
import { analyse, type LiveAnalysis } from '../analysis/analyse.ts';
import { headlineSentence } from '../analysis/headline.ts';
import { type QualityReadings, readQuality } from '../analysis/readQuality.ts';
import { changeState, type LiveChange, openingState } from '../state/changeState.ts';
import { countedOutcomes } from '../state/choices.ts';
import { readHash, writeHash } from '../state/hash.ts';
import {
  addState,
  canRedo,
  canUndo,
  type History,
  presentState,
  startHistory,
  stepHistory,
} from '../state/history.ts';
import type { LiveState } from '../state/liveState.ts';
import { aboutPart } from './aboutPart.ts';
import { pageActions } from './actions.ts';
import type { Address } from './address.ts';
import { answerPart } from './answerPart.ts';
import { askPart } from './askPart.ts';
import { countedControls } from './controls/countedControls.ts';
import { selectField } from './controls/field.ts';
import { pooledControls } from './controls/pooledControls.ts';
import { quickControls } from './controls/quickControls.ts';
import { studiesControls } from './controls/studiesControls.ts';
import { departuresPart } from './departuresPart.ts';
import { button, element, setText } from './element.ts';
import { type LiveSource, liveFacts } from './liveFacts.ts';
import { viewButtons } from './viewButtons.ts';
import { viewPart } from './viewPart.ts';

/** A review on the page. */
export interface LivePage {
  readonly node: HTMLElement;
  /** Follows an address somebody typed, pasted or went back to. */
  readonly follow: (hash: string) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  /** Stops listening; the page is about to be replaced. */
  readonly close: () => void;
}

/** What a page is given by the document it stands in. */
export interface LivePlace {
  readonly address: Address;
  /** The part of the address after `#` to open with. */
  readonly hash: string;
  /** Said at the top when the page opens. */
  readonly greeting: readonly string[];
  readonly announce: (sentence: string) => void;
}

/** Builds the page of a review and shows the state its address asks for. */
export function livePage(review: Review, source: LiveSource, place: LivePlace): LivePage {
  const { address, announce } = place;
  const facts = liveFacts(review, source);
  const opening = readHash(review, place.hash);
  let history: History<LiveState> = startHistory(opening.state);
  const readings = new Map<string, QualityReadings>();
  const analysed = (state: LiveState): LiveAnalysis => {
    const quality = readings.get(state.outcome) ?? readQuality(review, state.outcome);
    readings.set(state.outcome, quality);
    return analyse(review, state, quality);
  };
  let analysis = analysed(opening.state);
  const planned = new Map<string, LiveAnalysis>();
  const plannedOf = (outcome: string): LiveAnalysis => {
    const known = planned.get(outcome) ?? analysed({ ...openingState(review.protocol), outcome });
    planned.set(outcome, known);
    return known;
  };

  const said = element('ul', { class: 'said', role: 'status' });
  const say = (sentences: readonly string[]): void => {
    said.hidden = sentences.length === 0;
    said.replaceChildren(...sentences.map((sentence) => element('li', {}, sentence)));
  };
  const change = (wanted: LiveChange, typing?: string): void => {
    const { state, said: sentences } = changeState(review.protocol, presentState(history), wanted);
    const before = history;
    history = addState(history, state, typing);
    if (history === before) return;
    address.write(
      writeHash(review, state),
      typing === undefined || history.states.length > before.states.length,
    );
    say(sentences);
    show();
  };
  const step = (by: -1 | 1): void => {
    const before = history;
    history = stepHistory(history, by);
    if (history === before) return;
    address.write(writeHash(review, presentState(history)), true);
    say([]);
    show();
  };

  const actions = pageActions(
    facts,
    () => analysis,
    (sentence) => {
      say([sentence]);
    },
  );
  const wide = matchMedia('(min-width: 64rem)').matches;
  const outcomes = selectField<string>('outcome', 'Outcome', (outcome) =>
    change({ kind: 'outcome', outcome }),
  );
  const answer = answerPart();
  const departures = departuresPart(() => change({ kind: 'protocol' }));
  const controls = [
    quickControls(review, change),
    countedControls(review, wide, change),
    studiesControls(review, wide, change),
    pooledControls(review, false, change),
  ];
  const buttons = viewButtons((view) => change({ kind: 'view', view }));
  const ask = askPart(change);
  const view = viewPart(review, facts, actions);
  const about = aboutPart(facts);
  const undo = button('Undo', () => step(-1), { id: 'undo', title: 'Ctrl+Z' });
  const redo = button('Redo', () => step(1), { id: 'redo', title: 'Ctrl+Shift+Z' });

  const copyLink = button('Copy link', actions.copyLink, { id: 'copy-link' });
  const copyAnswer = button('Copy answer in words', actions.copyAnswer, { id: 'copy-answer' });
  const takeAway = element(
    'p',
    { class: 'tools' },
    button('Notebook of this view', actions.saveNotebook, { id: 'save-notebook' }),
  );

  const main = element(
    'main',
    { class: 'live' },
    element(
      'div',
      { class: 'top' },
      element(
        'div',
        { class: 'first-row' },
        outcomes.node,
        element('p', { class: 'tools' }, undo, redo, copyLink, copyAnswer),
      ),
      said,
      answer.node,
      departures.node,
    ),
    element('section', { class: 'controls', 'aria-label': 'Choices' }, ...controls.map(({ node }) => node)),
    element('div', { class: 'looks' }, buttons.node, ask.node, view.node, takeAway, about.node),
  );

  let drawing = 0;
  /** Numbers at once, in this frame; the picture in the next. */
  function show(): void {
    const began = performance.now();
    const state = presentState(history);
    analysis = analysed(state);
    answer.update({ analysis, planned: plannedOf(state.outcome) });
    main.dataset.repooled = (performance.now() - began).toFixed(2);
    for (const part of [departures, ...controls, ask, about]) part.update(analysis);
    buttons.update(state.view);
    outcomes.update({
      value: state.outcome,
      options: countedOutcomes(review.protocol).map(({ id, name }) => ({ value: id, name })),
    });
    const focused = document.activeElement;
    undo.disabled = !canUndo(history);
    redo.disabled = !canRedo(history);
    if (focused === undo && undo.disabled) redo.focus();
    if (focused === redo && redo.disabled) undo.focus();
    document.title = `${analysis.outcome.name}: ${facts.reviewTitle}`;
    announce(headlineSentence(analysis.outcome.name, analysis.pools));
    cancelAnimationFrame(drawing);
    main.dataset.drawn = 'no';
    drawing = requestAnimationFrame(() => {
      view.update(analysis);
      main.dataset.drawn = 'yes';
    });
  }

  say([...place.greeting, ...opening.ignored]);
  show();
  const resized = redrawOnWidth(() => view.update(analysis));
  addEventListener('resize', resized);
  const invented = showsInventedData(facts)
    ? [element('p', { class: 'invented', role: 'note' }, element('strong', {}, inventedDataWarning))]
    : [];
  const title = element('p', { class: 'review' });
  setText(title, facts.reviewTitle);
  return {
    node: element('div', {}, element('header', {}, title, ...invented), main),
    undo: () => step(-1),
    redo: () => step(1),
    close: () => removeEventListener('resize', resized),
    follow(hash) {
      const { state, ignored } = readHash(review, hash);
      const like = (at: number) => JSON.stringify(history.states[at]) === JSON.stringify(state);
      // The page's own writing of the address comes back here too; only what somebody asked in vain is said.
      if (like(history.at)) {
        if (ignored.length > 0) say(ignored);
        return;
      }
      if (like(history.at - 1)) history = stepHistory(history, -1);
      else if (like(history.at + 1)) history = stepHistory(history, 1);
      else history = addState(history, state);
      say(ignored);
      show();
    },
  };
}

/** Calls back when the window crosses the width at which figures change their shape. */
function redrawOnWidth(redraw: () => void): () => void {
  const narrow = (): boolean => innerWidth < 720;
  let was = narrow();
  return () => {
    if (narrow() === was) return;
    was = narrow();
    redraw();
  };
}
