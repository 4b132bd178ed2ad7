import { markedSentence } from '../answers/printAnswer.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import { certaintyLevels } from '../certainty/certaintyRating.ts';
import type { OpenDecisions } from '../certainty/openDecisions.ts';
import type { StudyQuality } from '../certainty/quality/studyQuality.ts';
import { isReported } from '../extraction/reported.ts';
import type { Review } from '../extraction/review.ts';
import type { StudyDesign } from '../extraction/sheets/studiesSheet.ts';
import { siteNames } from '../extraction/site.ts';
import { notAComparison } from '../pooling/poolBySite.ts';
import { counted } from '../wording/words.ts';
import { characteristicsTable } from './characteristicsTable.ts';
import { notYetDecided } from './evidence/certaintyWords.ts';
import { operationName } from './evidence/findingsText.ts';
import { type NetworkFindings, networkBlocks } from './evidence/networkBlocks.ts';
import { settingText } from './evidence/settingText.ts';
import { evidenceProfile } from './evidenceProfile.ts';
import { rateFindings } from './rateFindings.ts';
import type { DocumentBlock, ReportDocument } from './reportDocument.ts';
import { type ScoreFinding, summaryOfFindings } from './summaryOfFindings.ts';

/** One pair of sites: a rating for each outcome, and the scores that studies compare. */
export interface ComparisonFindings {
  readonly ratings: readonly CertaintyRating[];
  readonly scores?: readonly ScoreFinding[];
}

/** A picture of the document. */
export interface EvidenceFigure {
  readonly title: string;
  readonly description: string;
  readonly svg: string;
}

/** Results the document is made of. */
export interface EvidenceParts {
  readonly rates: readonly CertaintyRating[];
  readonly comparisons: readonly ComparisonFindings[];
  /** What the network of each outcome says of the pairs it links. */
  readonly networks?: readonly NetworkFindings[];
  readonly quality: readonly StudyQuality[];
  readonly figures: readonly EvidenceFigure[];
  /** How the numbers were made, in sentences. */
  readonly methods: readonly string[];
  /** Where the analysis left the protocol; empty where it did not. */
  readonly departures: readonly string[];
  /** Decisions on certainty that must be taken again; the first page says how many. */
  readonly openDecisions?: OpenDecisions;
  /** Printed on every page where the data are invented. */
  readonly notice: string | undefined;
  /** Printed on every page. */
  readonly caution: string;
}

/** Most findings among the key messages; the tables hold all. */
const mostMessages = 5;

/**
 * The evidence of a review as a committee takes it into a meeting.
 *
 * Question, last search and what is in it; key messages with absolute numbers first; rates by site; one summary of
 * findings for each pair of sites; pictures; characteristics of the studies; methods and departures from the protocol;
 * in an appendix an evidence profile for each answer. It recommends nothing.
 *
 * @throws as the tables in it
 * @example
 * const evidence = evidenceDocument(review, parts);
 * await writeFile('evidence.docx', await documentToWord(evidence, { renderPicture: renderPng }));
 */
export function evidenceDocument(
  review: Pick<Review, 'protocol' | 'studies' | 'arms'>,
  parts: EvidenceParts,
  options: {
    /** Evidence profiles of every answer, half of the pages; default true. */
    readonly profiles?: boolean;
  } = {},
): ReportDocument {
  const { protocol } = review;
  const setting = settingText(review);
  const networks = (parts.networks ?? []).filter((each) => each.ratings.length > 0);
  const comparisons = parts.comparisons.filter(({ ratings }) => ratings.length > 0);
  const ratings = [...parts.rates, ...comparisons.flatMap((each) => each.ratings)];
  const profiles = (options.profiles ?? true) ? profilesOf(protocol, parts.rates, comparisons) : [];
  const follows = [
    ...(parts.rates.length === 0 ? [] : ['how often, at each site']),
    ...(comparisons.length === 0
      ? []
      : [`one site against another (${counted(comparisons.length, 'pair')})`]),
    ...(networks.length === 0 ? [] : ['all sites at once, in a network']),
    ...(parts.figures.length === 0 ? [] : ['pictures']),
    'the studies',
    'how the numbers were made',
    ...(profiles.length === 0
      ? []
      : ['an appendix that gives the reasons for each certainty, to look things up in']),
  ];
  const blocks: DocumentBlock[] = [
    { kind: 'paragraph', emphasis: 'lead', text: protocol.question },
    {
      kind: 'list',
      items: [
        `Population: ${protocol.population}`,
        `Setting: ${setting}`,
        `Last search: ${protocol.lastSearch}`,
        `In it: ${contentsText(review)}`,
        `After this page: ${follows.join('; ')}`,
      ],
    },
    ...takeAgain(parts.openDecisions),
    ...waitingFor(ratings),
    heading(1, 'Key messages'),
    ...keyMessages(parts.rates, comparisons),
    ...(parts.rates.length === 0
      ? []
      : [heading(1, 'How often, at each site'), tableBlock(rateFindings(protocol, parts.rates))]),
    ...(comparisons.length === 0
      ? []
      : [{ kind: 'page-break' } as const, heading(1, 'One site against another')]),
    ...comparisons.flatMap(({ ratings: found, scores = [] }, at): DocumentBlock[] => [
      ...(at === 0 ? [] : [{ kind: 'page-break' } as const]),
      heading(2, pairHeading(found[0]!)),
      tableBlock(summaryOfFindings(protocol, found, { setting, scores })),
    ]),
    ...networkBlocks(networks),
    ...(parts.figures.length === 0 ? [] : [heading(1, 'Pictures')]),
    ...parts.figures.map((figure): DocumentBlock => ({ kind: 'figure', ...figure })),
    heading(1, 'The studies'),
    tableBlock(characteristicsTable(review, parts.quality)),
    heading(1, 'How the numbers were made'),
    ...parts.methods.map((text): DocumentBlock => ({ kind: 'paragraph', text })),
    heading(2, 'Departures from the protocol'),
    parts.departures.length === 0
      ? { kind: 'paragraph', text: 'None.' }
      : { kind: 'list', items: parts.departures },
    ...profiles,
  ];
  return {
    kind: 'report-document',
    title: protocol.title,
    language: 'en-GB',
    notice: parts.notice,
    caution: parts.caution,
    blocks,
  };
}

/** Why each answer is as certain as it is: rates first, then pair by pair. */
function profilesOf(
  protocol: Review['protocol'],
  rates: readonly CertaintyRating[],
  comparisons: readonly ComparisonFindings[],
): readonly DocumentBlock[] {
  const parts = [
    { title: 'Rates at each site', ratings: rates },
    ...comparisons.map(({ ratings }) => ({ title: pairHeading(ratings[0]!), ratings })),
  ].filter(({ ratings }) => ratings.length > 0);
  if (parts.length === 0) return [];
  return [
    heading(1, 'Appendix: why each answer is as certain as it is'),
    ...parts.flatMap(({ title, ratings }) => [
      heading(2, title),
      tableBlock(evidenceProfile(protocol, ratings, { caption: `Evidence profile: ${lowerFirst(title)}` })),
    ]),
  ];
}

const heading = (level: 1 | 2 | 3, text: string): DocumentBlock => ({ kind: 'heading', level, text });
const tableBlock = (table: Extract<DocumentBlock, { kind: 'table' }>['table']): DocumentBlock => ({
  kind: 'table',
  table,
});
const lowerFirst = (words: string): string => words.charAt(0).toLowerCase() + words.slice(1);

function pairHeading({ question }: CertaintyRating): string {
  if (question.kind === 'rate') return siteNames[question.site];
  const words = `${operationName(question.site)} against ${operationName(question.comparator)}`;
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** Decisions that do not count, before anything that rests on certainty. */
function takeAgain(open: OpenDecisions | undefined): readonly DocumentBlock[] {
  return open?.sentence === undefined
    ? []
    : [{ kind: 'paragraph', emphasis: 'warning', text: open.sentence }];
}

/** Said before anything else: which certainties nobody has decided on. */
function waitingFor(ratings: readonly CertaintyRating[]): readonly DocumentBlock[] {
  const rated = ratings.filter(({ level }) => level !== undefined);
  const waiting = rated.filter(({ confirmed }) => !confirmed).length;
  if (waiting === 0) return [];
  return [
    {
      kind: 'paragraph',
      emphasis: 'warning',
      text: `${waiting} of ${rated.length} certainties in this document are ${notYetDecided}. They are marked "proposed".`,
    },
  ];
}

function keyMessages(
  rates: readonly CertaintyRating[],
  comparisons: readonly ComparisonFindings[],
): readonly DocumentBlock[] {
  const compared = comparisons.flatMap(({ ratings }) => ratings);
  return [
    ...messages(compared, 'One site against another', 'comparisons'),
    ...messages(rates, 'How often', 'rates'),
    ...(rates.length === 0 ? [] : [{ kind: 'paragraph', emphasis: 'note', text: notAComparison } as const]),
  ];
}

/** Whether studies that nobody judged carry the answer: it stands in the tables and is no message. */
const isUnjudged = ({ cautions }: CertaintyRating): boolean =>
  cautions.some(({ code }) => code === 'carried-by-unjudged-studies');

/**
 * Findings that are more than very uncertain and rest on studies somebody judged, the most certain first; the rest is
 * counted.
 */
function messages(
  ratings: readonly CertaintyRating[],
  title: string,
  name: string,
): readonly DocumentBlock[] {
  if (ratings.length === 0) return [];
  const rank = ({ level }: CertaintyRating): number =>
    level === undefined ? -1 : certaintyLevels.indexOf(level);
  const answered = ratings.filter((rating) => rank(rating) > 0);
  const known = answered.filter((rating) => !isUnjudged(rating)).sort((a, b) => rank(b) - rank(a));
  const unjudged = answered.length - known.length;
  const shown = known.slice(0, mostMessages);
  const veryLow = ratings.filter((rating) => rank(rating) === 0).length;
  const none = ratings.filter((rating) => rank(rating) === -1).length;
  const rest = [
    ...(known.length > shown.length
      ? [
          `${counted(known.length - shown.length, 'further answer', 'further answers')} of low certainty or better ${known.length - shown.length === 1 ? 'stands' : 'stand'} in the tables.`,
        ]
      : []),
    ...(unjudged === 0
      ? []
      : [
          `${counted(unjudged, 'answer', 'answers')} of ${ratings.length} ${name} ${unjudged === 1 ? 'rests' : 'rest'} on studies whose quality is not judged yet, and ${unjudged === 1 ? 'stands' : 'stand'} in the tables only.`,
        ]),
    ...(veryLow + none === 0
      ? []
      : [
          `For ${veryLow} of ${ratings.length} ${name} the evidence is very uncertain and does not tell what happens; for ${none} there is no study.`,
        ]),
  ];
  return [
    heading(2, title),
    {
      kind: 'list',
      items: [
        ...shown.map(
          (rating) =>
            `${markedSentence(rating)} (${rating.level} certainty${rating.confirmed ? '' : ', proposed'})`,
        ),
        ...rest,
      ],
    },
  ];
}

/** Several studies of one design. */
const severalOf = (design: StudyDesign): string =>
  design === 'case series' ? design : design === 'case-control' ? `${design} studies` : `${design}s`;

function contentsText({ studies, arms, protocol }: Pick<Review, 'studies' | 'arms' | 'protocol'>): string {
  const designs = new Map<StudyDesign, number>();
  for (const { design } of studies) designs.set(design, (designs.get(design) ?? 0) + 1);
  const kinds = [...designs]
    .sort((a, b) => b[1] - a[1])
    .map(([design, count]) =>
      counted(count, design === 'case-control' ? 'case-control study' : design, severalOf(design)),
    )
    .join(', ');
  const years = studies.map(({ year }) => year);
  const shoulders = arms.flatMap(({ shouldersAnalysed }) =>
    isReported(shouldersAnalysed) ? [shouldersAnalysed] : [],
  );
  const lacking = arms.length - shoulders.length;
  const total = shoulders.reduce((sum, count) => sum + count, 0).toLocaleString('en-GB');
  const range = years.length === 0 ? '' : ` of ${Math.min(...years)} to ${Math.max(...years)}`;
  return (
    `${counted(studies.length, 'report')}${range} (${kinds}); ${counted(arms.length, 'arm')} with ${total} shoulders at follow-up` +
    `${lacking === 0 ? '' : ` (${counted(lacking, 'arm')} did not report them)`}; ${counted(protocol.outcomes.length, 'outcome')}`
  );
}
