import type { Comparison } from '../../extraction/agreement/compareExtractions.ts';
import { definitionText } from '../../extraction/definitions.ts';
import type {
  EventsOutcome,
  OverlapRule,
  Protocol,
  ScoreOutcome,
  WindowMonths,
} from '../../extraction/protocol.ts';
import { isReported } from '../../extraction/reported.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { siteNames } from '../../extraction/site.ts';
import { counted, listed, signedFixed } from '../../wording/words.ts';
import type { ManuscriptInput } from './manuscriptInput.ts';
import { dateWords, shareOf, small, typed } from './words.ts';
import type { Writer } from './writer.ts';

const midGrooveWords: Readonly<Record<Protocol['siteRule']['midGroove'], string>> = {
  'with-top-of-groove': 'was counted with fixation at the top of the groove',
  'with-suprapectoral': 'was counted with suprapectoral fixation',
  'split-by-half':
    'was counted with fixation at the top of the groove in the upper half and with suprapectoral fixation in the lower half',
};

const overlapWords: Readonly<Record<OverlapRule, string>> = {
  largest: 'the report with the most shoulders',
  latest: 'the latest report',
  'primary-report': 'the primary report',
};

/** Methods, first part: who and what was eligible, where it was sought, how it was chosen and collected. */
export function writeEligibility(write: Writer, { review, flow }: ManuscriptInput): void {
  const { protocol } = review;
  write.heading('Methods', 'Eligibility criteria');
  write.say('5', `The population of interest was: ${small(typed(protocol.population))}.`, {
    protocol: ['population'],
  });
  write.say(
    '5',
    `Studies were grouped by the place of treatment of the tendon: ${listed(protocol.sites.map((site) => small(siteNames[site])))}.`,
    { protocol: ['sites'] },
  );
  write.say(
    '5',
    `Fixation in the middle of the groove ${midGrooveWords[protocol.siteRule.midGroove]}; fixation to soft tissue and arms whose site could not be told were recorded and not pooled.`,
    { protocol: ['siteRule.midGroove'] },
  );
  write.say(
    '5',
    protocol.designs === undefined
      ? 'No study design was excluded.'
      : `The study ${protocol.designs.length === 1 ? 'design' : 'designs'} eligible for the syntheses ${protocol.designs.length === 1 ? 'was' : 'were'} ${listed(protocol.designs)}.`,
    { protocol: ['designs'] },
  );
  write.ask('5', 'Further criteria were {0}.', [
    'other eligibility criteria, such as language and publication status',
  ]);

  write.heading('Methods', 'Information sources');
  const identified = flow.counts['records identified'];
  const others = flow.counts['other records identified'];
  const sources = [...identified.parts, ...others.parts].flatMap(({ detail }) =>
    isReported(detail) ? [typed(detail)] : [],
  );
  const rows = [...identified.parts, ...others.parts].map(({ row }) => row);
  const searched = `the last search was on ${dateWords(protocol.lastSearch)}`;
  if (sources.length === 0) {
    write.ask(
      '6',
      `The sources searched were {0}; ${searched}.`,
      ['every database, register and other source'],
      {
        protocol: ['lastSearch'],
      },
    );
  } else {
    write.say(
      '6',
      `The ${sources.length === 1 ? 'source searched was' : 'sources searched were'} ${listed(sources)}; ${searched}.`,
      { rows, protocol: ['lastSearch'] },
    );
  }

  write.heading('Methods', 'Search strategy');
  write.ask('7', 'The full search strategies are given in {0}.', [
    'appendix with the strategy for every source, with limits and filters',
  ]);

  write.heading('Methods', 'Selection process');
  write.ask('8', 'Records and reports were screened by {0}.', [
    'number of reviewers, whether independently, how disagreements were resolved, and any automation tool',
  ]);
}

/** Methods: data collection, outcomes and other variables. */
export function writeCollection(write: Writer, { review, outcomes, agreement }: ManuscriptInput): void {
  const { protocol } = review;
  write.heading('Methods', 'Data collection process');
  write.say(
    '9',
    'Counts and scores were entered for each arm, outcome, definition, assessor and time point, with the page, table or figure of the report they were read from.',
  );
  if (agreement === undefined) writePeople(write, review);
  else writeAgreement(write, agreement);
  const workedOut = outcomes.flatMap(({ selection }) =>
    selection.arms.filter(({ notes = [] }) => notes.some((note) => /worked out|percentage/i.test(note))),
  );
  if (workedOut.length > 0) {
    write.say(
      '9',
      `Where a report printed a percentage without the count (${counted(workedOut.length, 'count')}), the count was worked out from it if exactly one whole number agreed with the printed digits.`,
      { rows: workedOut.map(({ row }) => row) },
    );
  }
  write.say(
    '9',
    `Where several reports described the same patients, ${overlapWords[protocol.overlapRule]} was used for each outcome.`,
    { protocol: ['overlapRule'] },
  );

  write.heading('Methods', 'Data items');
  for (const [at, outcome] of protocol.outcomes.entries()) {
    if (at > 0) write.newParagraph();
    const sources = { protocol: [`outcomes.${at}`] };
    write.say(
      '10a',
      outcome.kind === 'events' ? eventsSentence(outcome) : scoreSentence(outcome, protocol),
      sources,
    );
  }
  write.newParagraph();
  const variables = otherVariables(review.arms);
  if (variables.names.length > 0) {
    write.say('10b', `For each arm we also sought ${listed(variables.names)}.`, { rows: variables.rows });
  }
  write.say('10b', 'Values that were not reported were recorded as missing and never taken as zero.');
}

/** How many people typed rows; whether they worked twice is not in the sheets. */
function writePeople(write: Writer, review: ManuscriptInput['review']): void {
  const rows = [...review.events, ...review.scores];
  const people = new Set(rows.flatMap(({ extractor }) => (isReported(extractor) ? [extractor] : [])));
  write.ask(
    '9',
    people.size === 0
      ? 'Data were extracted by {0}.'
      : `Data were extracted by ${counted(people.size, 'person', 'people')}, {0}.`,
    [
      'whether each report was extracted twice independently, how disagreements were resolved, and whether authors were asked',
    ],
    { results: ['review.events', 'review.scores'] },
  );
}

/** What the sheets of two extractors say of their agreement. */
function writeAgreement(write: Writer, { columns }: Comparison): void {
  const tally = (kind: Comparison['columns'][number]['kind']) => {
    const own = columns.filter((column) => column.kind === kind);
    const sum = (of: (column: Comparison['columns'][number]) => number) =>
      own.reduce((all, column) => all + of(column), 0);
    return { agreeing: sum(({ agreeing }) => agreeing), both: sum(({ bothReported }) => bothReported) };
  };
  const [numbers, categories] = [tally('number'), tally('category')];
  const kappas = columns.flatMap(({ kappa }) => (kappa?.kappa === undefined ? [] : [kappa.kappa]));
  const range =
    kappas.length === 0
      ? ''
      : kappas.length === 1
        ? `; kappa was ${signedFigure(kappas[0]!)}`
        : `; kappa ran from ${signedFigure(Math.min(...kappas))} to ${signedFigure(Math.max(...kappas))} over ${counted(kappas.length, 'column')}`;
  write.say(
    '9',
    `Two people extracted the data; of what both reported, numbers agreed exactly in ${shareOf(numbers.agreeing, numbers.both)} cells and categories in ${shareOf(categories.agreeing, categories.both)}${range}.`,
    { results: ['agreement.columns'] },
  );
  write.ask(
    '9',
    'Disagreements were resolved by {0}.',
    ['how disagreements were resolved, and whether authors were asked'],
    { results: ['agreement.disagreements'] },
  );
}

const signedFigure = (value: number): string => signedFixed(value, 2);

function windowWords(window: WindowMonths | undefined): string {
  return window === undefined
    ? 'at any time'
    : `${window.minimum} to ${window.maximum} months after the operation`;
}

function preferWords(outcome: EventsOutcome | ScoreOutcome): string {
  return outcome.prefer === 'closest-to-target'
    ? `the time point closest to ${outcome.targetMonths} months`
    : 'the longest follow-up';
}

function eventsSentence(outcome: EventsOutcome): string {
  const ranked = (items: readonly string[]): string => listed(items.map(typed), 'or');
  const order =
    outcome.definitions.length + outcome.assessors.length > 2 ? ' (in that order of preference)' : '';
  return `${typed(outcome.name)} was defined as ${ranked(outcome.definitions.map(definitionText))}, judged by ${ranked(outcome.assessors)}${order}, ${windowWords(outcome.windowMonths)}, among ${typed(outcome.denominator)}; of several time points ${preferWords(outcome)} was used.`;
}

function scoreSentence(outcome: ScoreOutcome, protocol: Protocol): string {
  const names = outcome.scales.map((id) =>
    typed(protocol.scales.find((scale) => scale.id === id)?.name ?? id),
  );
  const order = names.length > 1 ? ' (in that order of preference)' : '';
  return `${typed(outcome.name)} was measured on ${listed(
    names.map((name) => `the ${name}`),
    'or',
  )}${order}, ${windowWords(outcome.windowMonths)}; of several time points ${preferWords(outcome)} was used.`;
}

/** Features of an arm that are asked of every report, in the words of a methods section. */
const armFeatures = {
  approach: 'the approach',
  fixation: 'the means of fixation',
  inlayOrOnlay: 'inlay or onlay fixation',
  cuffRepairPercent: 'the share with cuff repair',
  indication: 'the indication',
  ageMeanYears: 'mean age',
  womenPercent: 'the share of women',
  bodyMassIndexMean: 'mean body mass index',
  dominantSidePercent: 'the share operated on the dominant side',
  workersCompensationPercent: 'the share with workers\u2019 compensation',
  slingWeeks: 'weeks in a sling',
} as const;

function otherVariables(arms: ManuscriptInput['review']['arms']): {
  readonly names: readonly string[];
  readonly rows: readonly RowAddress[];
} {
  const names: string[] = [];
  const rows: RowAddress[] = [];
  for (const [key, name] of Object.entries(armFeatures)) {
    const told = arms.find((arm) => isReported<unknown>(arm[key as keyof typeof armFeatures]));
    if (told === undefined) continue;
    names.push(name);
    rows.push(told.row);
  }
  return { names, rows };
}
