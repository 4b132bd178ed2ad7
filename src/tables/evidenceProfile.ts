import { markNumberOf } from '../answers/printAnswer.ts';
import type { CertaintyRating, DomainJudgement } from '../certainty/certaintyRating.ts';
import { domainsDown } from '../certainty/certaintyRating.ts';
import { levelsText } from '../certainty/rateCertainty.ts';
import type { Protocol } from '../extraction/protocol.ts';
import type { RowAddress } from '../extraction/rowAddress.ts';
import { siteNames } from '../extraction/site.ts';
import { certaintyText, notYetDecided } from './evidence/certaintyWords.ts';
import { basisText, operationName } from './evidence/findingsText.ts';
import { quotedProfileNote } from './evidence/quotedText.ts';
import { type RowGroup, type Table, type TableRow, table } from './table.ts';

/**
 * Why is each answer as certain as it is?
 *
 * One part for each rating: what it starts from, then every reason to rate down with the judgement, who made it, the
 * reason and the numbers behind it, and reasons to rate up where there are any. A row leads to the line of the sheet
 * the decision stands on.
 *
 * @throws RangeError when there is no rating
 * @see Guyatt G and others, GRADE guidelines 1, J Clin Epidemiol 2011;64:383 (evidence profiles; from memory).
 * @example
 * evidenceProfile(review.protocol, ratings, { caption: 'Subpectoral against tenotomy: evidence profile' })
 */
export function evidenceProfile(
  protocol: Protocol,
  ratings: readonly CertaintyRating[],
  options: { readonly caption?: string } = {},
): Table {
  if (ratings.length === 0) throw new RangeError('ratings must hold at least one rating, received none');
  const groups: RowGroup[] = [];
  const rows: TableRow[] = [];
  const sources: (readonly RowAddress[])[] = [];
  for (const rating of ratings) {
    const judged = rating.level === undefined ? [] : rating.domains.filter(isShown);
    groups.push({ heading: headingOf(protocol, rating), rows: judged.length });
    for (const judgement of judged) {
      const { domain, levels, decided, reason, evidence, row } = judgement;
      rows.push({
        domain: domain.charAt(0).toUpperCase() + domain.slice(1),
        judgement: levelsText(levels),
        by: decided === undefined ? 'the program' : 'people',
        reason: reason ?? notYetDecidedReason(judgement),
        evidence: markNumberOf(rating, evidence.join(' ')),
        proposed: levelsText(judgement.proposed),
      });
      sources.push(row === undefined ? rating.rows : [row]);
    }
  }
  return table({
    caption: options.caption ?? 'Evidence profile: what each certainty rests on',
    columns: [
      { key: 'domain', heading: 'Domain' },
      { key: 'judgement', heading: 'Judgement' },
      { key: 'by', heading: 'Judged by' },
      { key: 'reason', heading: 'Reason' },
      { key: 'evidence', heading: 'What the data show' },
      { key: 'proposed', heading: 'proposed_by_the_data', shownIn: 'file' },
    ],
    rowGroups: groups,
    rows,
    sources,
    notes: [
      'Each certainty is its start plus the levels of the domains, held between very low and high.',
      ...ratings.flatMap((rating) => quotedProfileNote(protocol, rating) ?? []),
      ...(ratings.some(({ domains }) => domains.some(({ decided }) => decided === undefined))
        ? [`Judged by the program: ${notYetDecided}.`]
        : []),
    ],
  });
}

/** Reasons to rate down always; reasons to rate up where they counted or were proposed. */
const isShown = ({ domain, levels, proposed, decided }: DomainJudgement): boolean =>
  (domainsDown as readonly string[]).includes(domain) ||
  levels !== 0 ||
  proposed !== 0 ||
  (decided ?? 0) !== 0;

const notYetDecidedReason = ({ proposed, decided, levels }: DomainJudgement): string =>
  decided !== undefined && proposed !== levels
    ? `the data proposed ${levelsText(proposed)}`
    : 'not yet decided';

function headingOf(protocol: Protocol, rating: CertaintyRating): string {
  const { question, body, start } = rating;
  const outcome = protocol.outcomes.find(({ id }) => id === question.outcome)?.name ?? question.outcome;
  const asked =
    question.kind === 'rate'
      ? siteNames[question.site]
      : `${operationName(question.site)} against ${operationName(question.comparator)}`;
  if (rating.level === undefined) return `${outcome}, ${asked}: no study answers the question`;
  return (
    `${outcome}, ${asked}: certainty ${certaintyText(rating)}. ${basisText(body).replace(' (', ' shoulders (')}. ` +
    `Starts ${start.level}: ${start.reason}`
  );
}
