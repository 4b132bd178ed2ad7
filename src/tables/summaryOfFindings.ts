import type { Answer } from '../answers/answer.ts';
import { printAnswer } from '../answers/printAnswer.ts';
import { bodyInWords } from '../certainty/bodyInWords.ts';
import type { InHundred } from '../certainty/bodyOfEvidence.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import type { AbsoluteEffect } from '../effects/absoluteEffect.ts';
import type { Protocol, ProtocolOutcome } from '../extraction/protocol.ts';
import type { RowAddress } from '../extraction/rowAddress.ts';
import type { BesideKind } from '../wording/beside.ts';
import { relativeText } from '../wording/ratioText.ts';
import { capital } from '../wording/words.ts';
import {
  certaintyLegend,
  certaintyText,
  footnotesOf,
  notYetDecided,
  whatHappens,
} from './evidence/certaintyWords.ts';
import {
  basisText,
  differenceWithLimits,
  followUpText,
  operationName,
  outcomesNote,
  riskInHundred,
  riskWithLimits,
  shownOutcomes,
} from './evidence/findingsText.ts';
import { type FootnoteList, footnoteList } from './evidence/footnoteList.ts';
import { quotedEffectNotes } from './evidence/quotedText.ts';
import { levelHeading } from './ratesBySiteTable.ts';
import { type RowGroup, type Table, type TableRow, table } from './table.ts';

/** A score compared between the two sites: the mean difference, intervention less comparison. */
export interface ScoreFinding {
  /** The outcome's id in the protocol. */
  readonly outcome: string;
  /** The answer to the difference of means between the two sites. */
  readonly answer: Answer;
}

/** Options of {@link summaryOfFindings}. */
export interface SummaryOptions {
  readonly caption?: string;
  /** Where the studies were done, in words; default "not reported". */
  readonly setting?: string;
  readonly scores?: readonly ScoreFinding[];
}

/**
 * What happens to 100 shoulders with one operation rather than another, outcome by outcome, and how sure is it?
 *
 * A summary of findings: population, setting, intervention and comparison in the caption; for every outcome of the
 * protocol, up to seven in its order and also those nobody reports, follow-up, the risk with the comparison and with
 * the intervention and their difference in 100 at each baseline risk with its source, the relative effect, shoulders
 * and studies, certainty, what happens in the standard words, and comments. A footnote explains each change of level;
 * a certainty that people have not decided on says that it is proposed.
 *
 * @param ratings comparisons of one pair of sites, at most one for each outcome
 * @throws RangeError when there is no rating, one is no comparison, or they are of different pairs
 * @see Cochrane Handbook 5.1, section 11.5; version 6, chapter 14 (from memory).
 * @example
 * summaryOfFindings(review.protocol, ratings, { setting: 'two hospitals' })
 */
export function summaryOfFindings(
  protocol: Protocol,
  ratings: readonly CertaintyRating[],
  options: SummaryOptions = {},
): Table {
  const { site, comparator } = pairOf(ratings);
  const notes = footnoteList();
  const level = levelHeading(protocol.analysis.level);
  const groups: RowGroup[] = [];
  const rows: TableRow[] = [];
  const sources: (readonly RowAddress[])[] = [];
  const answers: (string | undefined)[] = [];
  const rowsBeside: (BesideKind | undefined)[] = [];
  for (const outcome of shownOutcomes(protocol)) {
    const rating = ratings.find(({ question }) => question.outcome === outcome.id);
    const score = options.scores?.find((each) => each.outcome === outcome.id);
    const made = rating === undefined ? [scoreRow(outcome, score)] : findingRows(rating, notes);
    groups.push({ heading: `${outcome.name}, ${followUp(rating, outcome, score)}`, rows: made.length });
    rows.push(...made);
    // The further rows say the same answer at other risks, so that their numbers are not the quoted one.
    answers.push(...made.map((_, at) => (at === 0 ? (rating?.answer ?? score?.answer.id) : undefined)));
    rowsBeside.push(...made.map((_, at) => (at === 0 ? undefined : ('other risks' as const))));
    const behind = rating?.rows ?? score?.answer.rows ?? [];
    sources.push(...made.map(() => behind));
  }
  const proposed = ratings.some(({ confirmed, level: found }) => found !== undefined && !confirmed);
  const caption =
    options.caption ??
    `Summary of findings: ${operationName(site)} (intervention) compared with ${operationName(comparator)} (comparison)`;
  const group = 'In 100 shoulders';
  return table({
    caption: `${caption}. Population: ${lowerFirst(protocol.population)}. Setting: ${options.setting ?? 'not reported'}.`,
    columns: [
      { key: 'baseline', heading: 'Risk it is said at' },
      { key: 'without', heading: `With ${operationName(comparator)}`, align: 'right', group },
      { key: 'with', heading: `With ${operationName(site)} (${level} interval)`, align: 'right', group },
      { key: 'difference', heading: `Difference (${level} interval)`, group },
      { key: 'relative', heading: `Relative effect (${level} interval)` },
      { key: 'basis', heading: 'Shoulders (studies)' },
      { key: 'certainty', heading: 'Certainty', shownIn: 'page' },
      { key: 'level', heading: 'certainty', shownIn: 'file' },
      { key: 'status', heading: 'certainty_status', shownIn: 'file' },
      { key: 'happens', heading: 'In a sentence' },
      { key: 'comments', heading: 'Comments' },
    ],
    rowGroups: groups,
    rows,
    footnotes: notes.listed(),
    sources,
    answers,
    rowsBeside,
    notes: [
      `The difference is the relative effect applied to the risk in the first column; limits of the ${level} interval in brackets. Where that risk has limits they are in those of the difference, which come from the joint distribution of both; without limits the risk is taken as known. Each number is rounded by itself, so that a difference may look one off.`,
      ...quotedEffectNotes(protocol, ratings),
      outcomesNote(protocol),
      certaintyLegend,
      ...(proposed ? [`Proposed: ${notYetDecided}.`] : []),
    ],
  });
}

/** The rows of one rated outcome: one for each risk it is said at; the rest stands in the first. */
function findingRows(rating: CertaintyRating, notes: FootnoteList): readonly TableRow[] {
  const { body, level, confirmed } = rating;
  const changes = footnotesOf(rating).map((words) => notes.add(words));
  const whole: TableRow = {
    relative: body.relative && relativeText(body.relative),
    basis: basisText(body),
    certainty: { text: certaintyText(rating), notes: changes },
    level: level ?? 'no study',
    status: level === undefined ? '' : confirmed ? 'decided by people' : notYetDecided,
    happens: whatHappens(rating),
    comments: commentsOf(rating),
  };
  // The quoted difference, whichever way the body gives it; further rows say the effect at other risks.
  const quoted = body.estimate && differenceWithLimits(scaledLimits(body.estimate, 0.01));
  if (body.absolute.length === 0)
    return [
      {
        ...whole,
        difference: quoted,
        baseline:
          level === undefined
            ? 'no study'
            : body.estimate === undefined && body.relative === undefined
              ? 'no estimate'
              : 'no risk known',
      },
    ];
  return distinctRisks(body.absolute).map((effect, at) => {
    const { baselineRisk, baselineSource, baselineInterval, baselineKnown, risk, difference } = effect;
    const { words, aside } = shortSource(baselineSource);
    return {
      baseline: aside === undefined ? words : { text: words, notes: [notes.add(`${words}: ${aside}.`)] },
      without: baselineKnown
        ? riskInHundred(baselineRisk)
        : riskWithLimits({ ...baselineInterval, value: baselineRisk }),
      with: riskWithLimits(risk),
      difference: at === 0 && quoted !== undefined ? quoted : differenceWithLimits(difference),
      ...(at === 0 ? whole : body.design === 'all comparative studies' ? { basis: basisText(body) } : {}),
    };
  });
}

const scaledLimits = ({ value, lower, upper }: InHundred, by: number): InHundred => ({
  value: by * value,
  lower: by * lower,
  upper: by * upper,
});

/** A score's row: a mean difference, or that nothing was compared. Its certainty is not rated. */
function scoreRow(outcome: ProtocolOutcome, score: ScoreFinding | undefined): TableRow {
  const printed = score && printAnswer(score.answer);
  if (score === undefined || printed === undefined) {
    const words = outcome.kind === 'score' ? 'no study compares it' : 'not rated';
    return {
      baseline: words,
      basis: 'none',
      certainty: 'no study',
      level: 'no study',
      happens: 'We cannot tell.',
    };
  }
  return {
    baseline: `mean difference, ${score.answer.unit}`,
    difference: printed.replace(' points', ''),
    basis: basisOf(score.answer),
    certainty: 'not rated',
    level: 'not rated',
    comments: `${outcome.better === 'lower' ? 'Lower' : 'Higher'} is better. Intervention less comparison, on the scale itself.`,
  };
}

const basisOf = ({ shoulders, body, studies, trials }: Answer): string =>
  `${shoulders.toLocaleString('en-GB')} (${bodyInWords({ design: body, studies, trials })})`;

const followUp = (
  rating: CertaintyRating | undefined,
  outcome: ProtocolOutcome,
  score: ScoreFinding | undefined,
): string =>
  score === undefined || outcome.windowMonths === undefined
    ? followUpText(rating, outcome)
    : `followed for ${outcome.windowMonths.minimum} to ${outcome.windowMonths.maximum} months`;

/** What a reader must know beside the numbers. */
export function commentsOf(rating: CertaintyRating): string {
  const told = rating.cautions.flatMap(({ code, message }) => {
    if (code === 'single-arm-contrast' && rating.level !== undefined)
      return ['No study compared the two sites; series of each are set side by side.'];
    if (code === 'several-bodies' || code === 'single-arm-contrast') return [];
    return code === 'nothing-answers-the-question' ? [] : [message];
  });
  const mixed = rating.body.design === 'all comparative studies';
  const apart = rating.others.map(
    ({ body, level }) =>
      `${capital(body.design)} ${mixed ? 'by themselves' : 'rated apart'}: ${level ?? 'no level'}.`,
  );
  return [...told, ...apart].join(' ');
}

function pairOf(ratings: readonly CertaintyRating[]) {
  const [first] = ratings;
  if (first === undefined) throw new RangeError('ratings must hold at least one comparison, received none');
  for (const { question } of ratings) {
    if (question.kind !== 'comparison')
      throw new RangeError(`ratings must be comparisons, received a ${question.kind}`);
    if (first.question.kind !== 'comparison') continue;
    if (question.site !== first.question.site || question.comparator !== first.question.comparator)
      throw new RangeError(
        `ratings must be of one pair, received ${first.question.site} against ${first.question.comparator} and ${question.site} against ${question.comparator}`,
      );
  }
  return first.question as Extract<typeof first.question, { kind: 'comparison' }>;
}

/** Risks that would print alike are said once, with the first of their sources. */
function distinctRisks(effects: readonly AbsoluteEffect[]): readonly AbsoluteEffect[] {
  return effects.filter(
    ({ baselineRisk }, at) =>
      effects.findIndex((other) => riskInHundred(other.baselineRisk) === riskInHundred(baselineRisk)) === at,
  );
}

/** A source whose last words stand in brackets, as words and an aside for a footnote. */
function shortSource(source: string): { readonly words: string; readonly aside: string | undefined } {
  const match = /^(?<words>.+?) \((?<aside>[^()]+)\)$/.exec(source);
  return { words: match?.groups?.words ?? source, aside: match?.groups?.aside };
}

const lowerFirst = (words: string): string =>
  words.charAt(0).toLowerCase() + words.slice(1).replace(/\.$/, '');
