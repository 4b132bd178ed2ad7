import { type AnswerDepartures, answersOf, type ReviewAnswers } from '../../../answers/answersOf.ts';
import type { ArmEvents } from '../../../extraction/armEvents.ts';
import type { EventSelection, SelectionDepartures } from '../../../extraction/eventSelection.ts';
import type { EventsOutcome } from '../../../extraction/protocol.ts';
import type { Review } from '../../../extraction/review.ts';
import type { SitePools } from '../../../pooling/poolBySite.ts';
import type { RatePoolOptions } from '../../../pooling/ratePoolOptions.ts';
import type { LeftOutEntry } from '../../../tables/leftOutTable.ts';
import { poolingDepartures } from '../../poolingDepartures.ts';
import { choicesInForce, outcomeOf } from '../state/choices.ts';
import type { LiveChoices, LiveState } from '../state/liveState.ts';
import { type ListedStudy, listStudies } from './listStudies.ts';
import { leftOutByQuality, type QualityReadings, readQuality } from './readQuality.ts';

/** What the page shows of one state: numbers of the library, and what they were made from. */
export interface LiveAnalysis {
  readonly state: LiveState;
  readonly choices: LiveChoices;
  readonly outcome: EventsOutcome;
  readonly selection: EventSelection;
  /** Arms that count: those selected, without the studies switched off. */
  readonly arms: readonly ArmEvents[];
  readonly options: RatePoolOptions;
  readonly pools: SitePools;
  /** The answers under these choices; the review's own where nothing departs from the protocol. */
  readonly answers: ReviewAnswers;
  /** Studies each rule of quality would leave out, whether it is in force or not. */
  readonly quality: QualityReadings;
  /** Every study that could count under these choices, largest first. */
  readonly studies: readonly ListedStudy[];
  /** Every row of the outcome that does not count, with the reason, by line of the sheet. */
  readonly leftOut: readonly LeftOutEntry[];
  /** One sentence for each way in which this differs from the protocol. */
  readonly departures: readonly string[];
}

/** The choices of arms that differ from the protocol, as {@link selectEvents} takes them. */
export function selectionDepartures(departures: Partial<LiveChoices>): SelectionDepartures {
  const { midGroove, definitions, assessors, windowMonths, overlapRule, designs } = departures;
  return {
    ...(midGroove === undefined ? {} : { siteRule: { midGroove } }),
    ...(definitions === undefined ? {} : { definitions }),
    ...(assessors === undefined ? {} : { assessors }),
    ...(windowMonths === undefined ? {} : { windowMonths }),
    ...(overlapRule === undefined ? {} : { overlapRule }),
    ...(designs === undefined ? {} : { designs }),
  };
}

/** The choices of pooling that differ from the protocol, as {@link poolBySite} takes them. */
export function poolDepartures(departures: Partial<LiveChoices>): Omit<RatePoolOptions, 'leftOut'> {
  const { model, scale, zeroEvents, betweenStudyVariance, interval, prediction, level } = departures;
  return {
    ...(model === undefined ? {} : { model }),
    ...(scale === undefined ? {} : { scale }),
    ...(zeroEvents === undefined ? {} : { zeroEvents }),
    ...(betweenStudyVariance === undefined ? {} : { betweenStudyVariance }),
    ...(interval === undefined ? {} : { interval }),
    ...(prediction === undefined ? {} : { prediction }),
    ...(level === undefined ? {} : { level }),
  };
}

/**
 * Pools the outcome of a state again. Every number comes from the library: this only carries the choices there.
 *
 * Studies left out for their quality are taken out before the arms are selected, as if they had not been found; studies switched
 * off are taken out of the arms selected, so that no other report of the same patients moves up in their place.
 *
 * @param quality as {@link readQuality} gives it for this outcome, for a page that has it at hand
 */
export function analyse(
  review: Review,
  state: LiveState,
  quality: QualityReadings = readQuality(review, state.outcome),
): LiveAnalysis {
  const { protocol } = review;
  const outcome = outcomeOf(protocol, state.outcome);
  const choices = choicesInForce(protocol, state);
  const without = quality[choices.quality];
  const off = new Set(state.switchedOff);
  const answers = answersOf(review, answerDepartures(state, without));
  const { selection, arms, options, pools } = answers.counts(outcome.id);
  const studies = listStudies(selection.arms, off);
  const labels = new Map(review.studies.map(({ study, label }) => [study, label]));
  const named = (ids: Iterable<string>) => {
    const names = [...ids].map((study) => labels.get(study) ?? study);
    const more = names.length - mostNames;
    return more <= 1
      ? names.join(', ')
      : `${names.slice(0, mostNames).join(', ')} and ${more} more, listed among the rows not used`;
  };
  return {
    state,
    choices,
    outcome,
    selection,
    arms,
    options,
    pools,
    answers,
    leftOut: rowsLeftOut(review, selection, off, without),
    quality,
    studies,
    departures: [
      ...selection.departures,
      ...(choices.quality === 'all'
        ? []
        : [
            `${leftOutByQuality[choices.quality]}: left out, where the protocol counts them (${without.size === 0 ? 'there is none' : named(without)}).`,
          ]),
      ...(off.size === 0 ? [] : [`Studies switched off: ${named(off)}.`]),
      ...poolingDepartures(protocol, outcome, options),
    ],
  };
}

/** What departs from the protocol, and nothing where nothing does. */
function answerDepartures(
  { departures, switchedOff }: LiveState,
  without: ReadonlySet<string>,
): AnswerDepartures {
  const selection = selectionDepartures(departures);
  const pooling = poolDepartures(departures);
  return {
    ...(Object.keys(selection).length === 0 ? {} : { selection }),
    ...(Object.keys(pooling).length === 0 ? {} : { pooling }),
    ...(without.size === 0 ? {} : { notFound: [...without] }),
    ...(switchedOff.length === 0 ? {} : { switchedOff }),
  };
}

/** From so many names on a sentence says how many more there are. */
const mostNames = 8;

function rowsLeftOut(
  review: Review,
  { outcome, arms, leftOut }: EventSelection,
  off: ReadonlySet<string>,
  without: ReadonlySet<string>,
): readonly LeftOutEntry[] {
  const labels = new Map(review.studies.map(({ study, label }) => [study, label]));
  const switchedOff = arms
    .filter(({ study }) => off.has(study))
    .map(({ label, arm, row }) => ({ label, arm, row, reason: 'Switched off.' }));
  const notGoodEnough = review.events
    .filter((row) => row.outcome === outcome.id && without.has(row.study))
    .map(({ study, arm, row }) => ({
      label: labels.get(study) ?? study,
      arm,
      row,
      reason: 'Left out for how well the study was done.',
    }));
  return [...leftOut, ...switchedOff, ...notGoodEnough].sort((a, b) => a.row.line - b.row.line);
}
