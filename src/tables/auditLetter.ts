import type { Audit } from '../robustness/audit/auditReview.ts';
import { clinicalCaution } from '../wording/clinicalCaution.ts';
import { placeInPaper } from './auditTables.ts';
import type { DocumentBlock, ReportDocument } from './reportDocument.ts';

export interface AuditLetterOptions {
  /** Printed at the top: the notice of invented data, where the data are invented. */
  readonly notice?: string;
  /** Who asks; default "the authors of the review". */
  readonly from?: string;
  /** Title of the review the letter is written for. */
  readonly review?: string;
}

/** The line every document carries. */

/**
 * A letter that asks the authors of one study about its numbers.
 *
 * Numbered, each point with the place in the paper, what is printed, what the other numbers give, what would fit, and
 * the question. Polite, and open to the answer that the error is the reader's.
 *
 * @returns undefined when the audit found nothing about the study
 * @throws RangeError for an empty `review` or `from`
 * @example
 * documentToMarkdown(auditLetter(audit, 'abel-2010', { review: 'Where to fix the biceps' })!)
 */
export function auditLetter(
  audit: Audit,
  study: string,
  options: AuditLetterOptions = {},
): ReportDocument | undefined {
  const { from = 'The authors of the review', review, notice } = options;
  for (const [name, text] of [
    ['from', from],
    ['review', review],
  ] as const)
    if (text !== undefined && text.trim() === '') throw new RangeError(`${name} must be words, received ""`);
  const findings = audit.findings.filter((each) => each.study === study);
  const [one] = findings;
  if (one === undefined) return undefined;
  const several = findings.length > 1;
  const purpose = review === undefined ? 'a systematic review' : `the systematic review "${review}"`;
  const items = findings.map(({ subject, printed, counts, wouldFit, question, row }) =>
    [
      `${capital(subject)}${placeInPaper(row.locator)}: ${printed} is printed.`,
      counts,
      ...wouldFit,
      question,
    ].join(' '),
  );
  const blocks: DocumentBlock[] = [
    { kind: 'paragraph', text: 'Dear authors,' },
    {
      kind: 'paragraph',
      text: `we have read your report, listed as ${one.label}, for ${purpose}, and would like to use its results as you meant them. ${several ? `In ${findings.length} places` : 'In one place'} we could not work out a printed number from the other numbers of the report. The mistake may well be ours.`,
    },
    { kind: 'list', items, numbered: true },
    {
      kind: 'paragraph',
      text: `Could you help us with ${several ? 'these questions' : 'this question'}? A correction, or the counts by arm, would be enough. If the numbers are right as they stand, a word on how they were worked out would let us use them.`,
    },
    { kind: 'paragraph', text: 'With kind regards,' },
    { kind: 'paragraph', text: from },
  ];
  return {
    kind: 'report-document',
    title: `Questions about ${one.label}`,
    language: 'en',
    notice,
    caution: clinicalCaution,
    blocks,
  };
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
