// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the code of a notebook, as text
import { clinicalCaution, type PageFacts } from '../../pageFacts.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import { poolDepartures, selectionDepartures } from '../analysis/analyse.ts';
import { leftOutByQuality } from '../analysis/readQuality.ts';
import { views } from '../views/views.ts';
import { viewCells } from './viewCells.ts';

const literal = (value: unknown): string => JSON.stringify(value);

/** Text as it may stand in a line comment. */
const comment = (text: string): string => text.replace(/[\s\u2028\u2029]+/g, ' ').trim();

/** Text set as it is in Markdown: what would be markup is escaped. */
const words = (text: string): string => comment(text).replace(/[\\`*_{}[\]()#+\-.!|<>&]/g, '\\$&');

/**
 * The view as a notebook: a script that reads the same folder, makes the same choices and comes to the same numbers,
 * for whoever wants to keep, check or extend it.
 *
 * Save it in `notebooks/` and run it: `npm run notebook -- notebooks/<name>.ts data-extraction/mine`.
 */
export function notebookOfView(analysis: LiveAnalysis, facts: PageFacts): string {
  const { state, outcome, departures, choices } = analysis;
  const view = views[state.view];
  const cells = viewCells(state);
  const byQuality = {
    all: undefined,
    'without-low': ['lowQualityStudies', 'lowQualityStudies(review, outcomeId)'],
    'low-concern': [
      'studyQuality',
      "new Set(studyQuality(review, outcomeId).filter(({ concern }) => concern !== 'low concern').map(({ study }) => study))",
    ],
  }[choices.quality];
  const imports = [
    'answersOf',
    'bulletList',
    ...(byQuality === undefined ? [] : [byQuality[0]!]),
    'openNotebook',
    'outcomeTable',
    'poolingDepartures',
    'ratesBySiteTable',
    'ratesReading',
    ...cells.imports,
  ];
  const ownDepartures = departures.filter((sentence) =>
    ['Studies switched off', ...Object.values(leftOutByQuality)].some((what) =>
      sentence.startsWith(`${what}:`),
    ),
  );
  const counted = [
    `const outcomeId = ${literal(outcome.id)};`,
    ...(byQuality === undefined ? [] : [`const notGoodEnough = ${byQuality[1]};`]),
    'const answers = answersOf(review, {',
    ...partsOfDepartures(state.departures).map((part) => `  ${part},`),
    ...(byQuality === undefined ? [] : ['  notFound: [...notGoodEnough],']),
    ...(state.switchedOff.length === 0 ? [] : [`  switchedOff: ${literal(state.switchedOff)},`]),
    '});',
    'const { selection, arms, options, pools } = answers.counts(outcomeId);',
    'const departures = [',
    '  ...selection.departures,',
    ...ownDepartures.map((sentence) => `  ${literal(sentence)},`),
    '  ...poolingDepartures(review.protocol, selection.outcome, options),',
    '];',
    "notebook.record('pools', { departures, pools, arms: arms.length, options });",
    "notebook.show(outcomeTable(selection, { caption: 'The choices behind the count' }));",
    'notebook.show(ratesBySiteTable(pools, { caption: `${selection.outcome.name} at each site` }));',
    'notebook.reading`${bulletList(ratesReading(pools))}`;',
  ];
  return `// %% [markdown]
// # ${words(outcome.name)}: ${words(view.name.toLowerCase())}
//
// **The question.** ${words(facts.question)}
//
// **Why this page.** Made from a view of the live page of "${words(facts.reviewTitle)}" (folder ${words(facts.folder)}, last
// search ${words(facts.lastSearch)}, tenosite ${words(facts.tenositeVersion)}). ${words(clinicalCaution)}
//
// **What would change the answer.** The choices below: ${departures.length === 0 ? 'all as the protocol has them.' : `${departures.length} of them depart from the protocol.`}
${departures.map((sentence) => `//\n// - ${words(sentence)}`).join('\n')}

// %%
import {
${[...new Set(imports)]
  .sort(byName)
  .map((name) => `  ${name},`)
  .join('\n')}
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome(${literal(outcome.id)});

// %% [markdown]
// ## What was counted, and the rate at each site
//
// The choices of the view: what counts, which studies, how they are pooled.

// %%
${counted.join('\n')}

// %% [markdown]
// ## ${words(view.heading)}
//
// What the view shows.

// %%
${cells.code.join('\n')}
`;
}

/** The departures as the options of `answersOf`, those that are there. */
function partsOfDepartures(departures: LiveAnalysis['state']['departures']): readonly string[] {
  const given = { selection: selectionDepartures(departures), pooling: poolDepartures(departures) };
  return Object.entries(given).flatMap(([name, own]) =>
    Object.keys(own).length === 0 ? [] : [`${name}: ${literal(own)}`],
  );
}

const byName = (a: string, b: string): number => (a.toLowerCase() < b.toLowerCase() ? -1 : 1);
