import { groupJudgements } from '../../extraction/deriveOverall.ts';
import { isReported } from '../../extraction/reported.ts';
import type { JudgementRow, Review } from '../../extraction/review.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import type { JudgementTool } from '../../extraction/sheets/judgementsSheet.ts';
import type { StudyDesign } from '../../extraction/sheets/studiesSheet.ts';
import type { CertaintyQuestion } from '../certaintyQuestion.ts';
import { rulesOfProtocol } from '../rulesOfProtocol.ts';
import {
  type ConcernReading,
  preferenceForComparisons,
  preferenceForRates,
  type QualityOptions,
  resolveQualityOptions,
} from './concern.ts';
import { judgeInstrument } from './judgeInstrument.ts';

/** One item of an instrument, judged or not. */
export interface JudgedItem {
  readonly item: string;
  /** Undefined: nobody judged it. It is never 0. */
  readonly answer: string | undefined;
  readonly reason: string | undefined;
  readonly row: RowAddress | undefined;
}

/** One study by one instrument. */
export interface InstrumentJudgement {
  readonly instrument: JudgementTool;
  readonly items: readonly JudgedItem[];
  /** By the instrument's own rule; undefined while items that matter are not judged. */
  readonly derived: string | undefined;
  /** As typed, where the instrument has an overall judgement and somebody typed it. */
  readonly typed: string | undefined;
  /** The typed judgement differs from the derived one. */
  readonly overridden: boolean;
  readonly overrideReason: string | undefined;
  readonly sum: { readonly points: number; readonly maximum: number } | undefined;
  readonly concern: ConcernReading;
  readonly why: string;
  readonly rows: readonly RowAddress[];
}

/** How well a study was done, for one outcome or for all. */
export interface StudyQuality {
  readonly study: string;
  readonly label: string;
  readonly design: StudyDesign;
  /** The instrument that counts, by the order of preference; undefined: nobody judged the study. */
  readonly judgement: InstrumentJudgement | undefined;
  /** By other instruments, in the same order. */
  readonly others: readonly InstrumentJudgement[];
  /** The three-step reading that counts. */
  readonly concern: ConcernReading;
}

/**
 * How well was each study done?
 *
 * Every study of the review, judged or not. Where several instruments were used, the first of `preference` that gives a
 * reading counts and the others stay beside it. Rules the protocol names hold unless the options say otherwise. Judgements of the outcome go before those of all outcomes, item by item.
 *
 * @param outcome an outcome's id; without it only judgements of all outcomes count
 * @throws RangeError for an unknown option or an outcome the review does not have
 * @see Sources of the instruments: `judgementItems`; of the conversions: `newcastleOttawaQuality`. The three steps and
 *   the cuts of sums are ours.
 * @example
 * studyQuality(review, 'revision').filter(({ concern }) => concern === 'not judged')
 */
export function studyQuality(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'judgements'>,
  outcome?: string,
  options: QualityOptions = {},
): readonly StudyQuality[] {
  const resolved = resolveQualityOptions({ ...rulesOfProtocol(review.protocol).quality, ...options });
  const known = review.protocol.outcomes.map(({ id }) => id);
  if (outcome !== undefined && !known.includes(outcome))
    throw new RangeError(`outcome must be one of ${known.join(', ')}, received "${outcome}"`);
  const groups = groupJudgements(review.judgements, (row) => row);
  return review.studies.map(({ study, label, design }) => {
    const comparative = review.arms.filter((arm) => arm.study === study).length > 1;
    const judgements = resolved.preference.flatMap((instrument): InstrumentJudgement[] => {
      const rows = groups
        .filter(
          (group) =>
            group.study === study &&
            group.tool === instrument &&
            (!isReported(group.outcome) || group.outcome === outcome),
        )
        // Judgements of all outcomes first, so that those of this outcome replace them.
        .sort((a, b) => Number(isReported(a.outcome)) - Number(isReported(b.outcome)))
        .flatMap((group) => group.rows);
      return rows.length === 0 ? [] : [judgementBy(instrument, rows, comparative, resolved)];
    });
    const judgement = judgements.find(({ concern }) => concern !== 'not judged') ?? judgements[0];
    return {
      study,
      label,
      design,
      judgement,
      others: judgements.filter((each) => each !== judgement),
      concern: judgement?.concern ?? 'not judged',
    };
  });
}

/**
 * The same for a question: the outcome's judgements, by the instruments that are preferred for its kind.
 *
 * @example
 * fingerprintOfBody(rating.body, qualityForQuestion(review, rating.question))
 */
export const qualityForQuestion = (
  review: Parameters<typeof studyQuality>[0],
  question: CertaintyQuestion,
  options: QualityOptions = {},
): readonly StudyQuality[] =>
  studyQuality(review, question.outcome, {
    preference: question.kind === 'rate' ? preferenceForRates : preferenceForComparisons,
    ...options,
  });

function judgementBy(
  instrument: JudgementTool,
  rows: readonly JudgementRow[],
  comparative: boolean,
  options: ReturnType<typeof resolveQualityOptions>,
): InstrumentJudgement {
  const byItem = new Map(rows.map((row) => [row.item, row]));
  const answers = new Map(
    [...byItem].flatMap(([item, row]) => (item === 'total' ? [] : [[item, row.judgement] as const])),
  );
  const reading = judgeInstrument(instrument, answers, comparative, options);
  const overall = byItem.get('overall');
  const typed = overall?.judgement;
  const overridden = typed !== undefined && reading.derived !== undefined && typed !== reading.derived;
  const reasonOf = (row: JudgementRow | undefined): string | undefined =>
    row !== undefined && isReported(row.reason) ? row.reason : undefined;
  return {
    instrument,
    items: reading.asked.map((item) => ({
      item,
      answer: answers.get(item),
      reason: reasonOf(byItem.get(item)),
      row: byItem.get(item)?.row,
    })),
    derived: reading.derived,
    typed,
    overridden,
    overrideReason: overridden ? reasonOf(overall) : undefined,
    sum: reading.sum,
    concern: reading.concern,
    why: reading.why,
    rows: [...byItem.values()].map(({ row }) => row),
  };
}
