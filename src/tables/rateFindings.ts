import { nothingAnswers } from '../certainty/bodyOfEvidence.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import { hundredText, rateInHundred } from '../certainty/perHundred.ts';
import type { Protocol } from '../extraction/protocol.ts';
import type { RowAddress } from '../extraction/rowAddress.ts';
import { siteNames } from '../extraction/site.ts';
import { notAComparison } from '../pooling/poolBySite.ts';
import { certaintyLegend, certaintyText, footnotesOf, notYetDecided } from './evidence/certaintyWords.ts';
import { basisText, followUpText, outcomesNote, shownOutcomes } from './evidence/findingsText.ts';
import { footnoteList } from './evidence/footnoteList.ts';
import { derSimonianLairdCell, quotedRateNotes } from './evidence/quotedText.ts';
import { levelHeading } from './ratesBySiteTable.ts';
import { commentsOf } from './summaryOfFindings.ts';
import { type RowGroup, type Table, type TableRow, table } from './table.ts';

/**
 * How often does each outcome follow each operation, in 100 shoulders, and how sure is each rate?
 *
 * Every rate has a certainty of its own kind: a body of series that starts high for the question "how often" starts
 * low for "is one site better". The rows are therefore no comparison, and the table says so.
 *
 * @param ratings rates, at most one for each outcome and site
 * @throws RangeError when there is no rating, or one is a comparison
 * @see Iorio A and others, BMJ 2015;350:h870 (certainty of rates).
 * @example
 * rateFindings(review.protocol, ratings)
 */
export function rateFindings(
  protocol: Protocol,
  ratings: readonly CertaintyRating[],
  options: { readonly caption?: string } = {},
): Table {
  if (ratings.length === 0) throw new RangeError('ratings must hold at least one rate, received none');
  const wrong = ratings.find(({ question }) => question.kind !== 'rate');
  if (wrong) throw new RangeError('ratings must be rates, received a comparison');
  const anyQuoted = ratings.some(({ body }) => body.quoted !== undefined);
  const notes = footnoteList();
  const level = levelHeading(protocol.analysis.level);
  const groups: RowGroup[] = [];
  const rows: TableRow[] = [];
  const sources: (readonly RowAddress[])[] = [];
  const rowAnswers: (string | undefined)[] = [];
  for (const outcome of shownOutcomes(protocol).filter(({ kind }) => kind === 'events')) {
    const rated = protocol.sites.flatMap((site) =>
      ratings.filter(({ question }) => question.outcome === outcome.id && question.site === site),
    );
    groups.push({
      heading: outcome.description ? `${outcome.name}: ${lowerFirst(outcome.description)}` : outcome.name,
      rows: rated.length,
    });
    for (const rating of rated) {
      const { body } = rating;
      const { estimate, prediction } = body;
      rows.push({
        site: siteNames[rating.question.site],
        rate:
          estimate === undefined
            ? nothingAnswers(body)
              ? 'no study'
              : 'not pooled'
            : rateInHundred(estimate).replace(' in 100', ''),
        next: prediction && `${hundredText(prediction.lower)} to ${hundredText(prediction.upper)}`,
        ...(anyQuoted ? { derSimonianLaird: derSimonianLairdCell(body.quoted) } : {}),
        value: estimate?.value,
        lower: estimate?.lower,
        upper: estimate?.upper,
        basis: basisText(body),
        events: nothingAnswers(body) ? undefined : body.events,
        followUp: nothingAnswers(body)
          ? undefined
          : followUpText(rating, outcome).replace(/^followed for /, ''),
        certainty: {
          text: certaintyText(rating),
          notes: footnotesOf(rating).map((words) => notes.add(words)),
        },
        level: rating.level ?? 'no study',
        status: rating.level === undefined ? '' : rating.confirmed ? 'decided by people' : notYetDecided,
        comments: commentsOf(rating),
      });
      sources.push(rating.rows);
      rowAnswers.push(rating.answer);
    }
  }
  const proposed = ratings.some(({ confirmed, level: found }) => found !== undefined && !confirmed);
  return table({
    caption:
      options.caption ??
      `How often, in 100 shoulders, at each site. Population: ${lowerFirst(protocol.population)}.`,
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'rate', heading: `In 100 (${level} interval)`, align: 'right', shownIn: 'page' },
      { key: 'next', heading: 'Next study', align: 'right' },
      ...(anyQuoted
        ? [
            {
              key: 'derSimonianLaird',
              heading: `DerSimonian-Laird (${level})`,
              align: 'right',
              beside: 'methods compared',
            } as const,
          ]
        : []),
      { key: 'value', heading: 'per_100', shownIn: 'file' },
      { key: 'lower', heading: 'interval_lower', shownIn: 'file' },
      { key: 'upper', heading: 'interval_upper', shownIn: 'file' },
      { key: 'basis', heading: 'Shoulders (studies)' },
      { key: 'events', heading: 'Events', align: 'right' },
      { key: 'followUp', heading: 'Followed for' },
      { key: 'certainty', heading: 'Certainty of the rate', shownIn: 'page' },
      { key: 'level', heading: 'certainty', shownIn: 'file' },
      { key: 'status', heading: 'certainty_status', shownIn: 'file' },
      ...(rows.some(({ comments }) => comments !== '') ? [{ key: 'comments', heading: 'Comments' }] : []),
    ],
    rowGroups: groups,
    rows: rows.some(({ comments }) => comments !== '') ? rows : rows.map(({ comments: _, ...row }) => row),
    footnotes: notes.listed(),
    sources,
    answers: rowAnswers,
    notes: [
      notAComparison,
      ...quotedRateNotes(protocol, ratings),
      `Next study: where the rate of a new study may lie (${level}); blank where too few studies can tell.`,
      outcomesNote(protocol),
      certaintyLegend,
      ...(proposed ? [`Proposed: ${notYetDecided}.`] : []),
    ],
  });
}

const lowerFirst = (words: string): string =>
  words.charAt(0).toLowerCase() + words.slice(1).replace(/\.$/, '');
