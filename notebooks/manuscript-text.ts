// %% [markdown]
// # Methods and results in sentences
//
// **The question.** How were these studies found and chosen, and what would the methods and results sections of a
// manuscript say, sentence by sentence?
//
// **Why it is asked.** A number typed into a manuscript by hand is a number that can be wrong. Here every sentence is
// written from the results, names the item of the reporting guideline it answers, and knows the rows it rests on.
//
// **What would change the answer.** A count in the flow that does not add up; a correction in a sheet: the sentence
// changes with it, the next time this page is made.

// %% [markdown]
// ## From search to inclusion
//
// The counts come from the sheet of the search. They are checked against each other and against the studies; a step
// nobody counted is said to be not reported, and is never nought.

// %%
import {
  bulletList,
  checklistReading,
  checklistTable,
  flowCounts,
  flowDiagram,
  manuscriptResults,
  manuscriptText,
  openNotebook,
  prose,
  reportingChecklist,
  sentencesTable,
  sentencesToSupply,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
const flow = flowCounts(review.flow, review.studies);
notebook.record('flow', flow, { supporting: true });
notebook.draw((frame) => flowDiagram(flow, frame), {
  title: 'Records, reports and studies at each step',
  name: 'flow',
  from: flow,
});
notebook.reading`${
  flow.mismatches.length === 0
    ? review.flow.length === 0
      ? 'The review has no counts of its search.'
      : 'Every count that can be checked agrees with the others and with the studies.'
    : bulletList(
        flow.mismatches.map(
          ({ stage, expected }) => `${stage} stands at ${flow.counts[stage].total}; expected ${expected}.`,
        ),
      )
}`;

// %% [markdown]
// ## The methods
//
// In the order of the reporting guideline. What the sheets and the protocol cannot know stands in square brackets.

// %%
const input = manuscriptResults(review, { certainty: 'rates' });
const manuscript = manuscriptText(input);
notebook.show(sentencesTable(manuscript, 'Methods'));
notebook.reading`${manuscript.references.length} works are cited; the list stands at the end of the Word file.`;

// %% [markdown]
// ## The results
//
// Rates with interval, prediction, studies and counts; heterogeneity beside them; no p-value without its effect, and no
// wide interval read as if nothing differed. How sure each rate is stands last; the Word file adds how sure each comparison
// of two sites is.

// %%
notebook.show(sentencesTable(manuscript, 'Results'));
const results = manuscript.paragraphs.flatMap(({ part, sentences }) => (part === 'Results' ? sentences : []));
const rows = new Set(
  results.flatMap(({ sources }) => sources.rows.map(({ file, line }) => `${file}:${line}`)),
);
notebook.reading`${results.length} sentences, written from ${rows.size} rows of the sheets. The command
  \`npm run manuscript\` writes them as a Word file with the flow diagram, the references and the checklists.`;

// %% [markdown]
// ## What only the author can say
//
// Every gap in square brackets, with the item it belongs to.

// %%
const gaps = sentencesToSupply(manuscript).flatMap(({ item, toSupply }) =>
  toSupply.map((gap) => `Item ${item}: ${gap}.`),
);
notebook.reading`${gaps.length === 0 ? prose`Nothing is missing.` : bulletList(gaps)}`;

// %% [markdown]
// ## The reporting checklist
//
// Where each item is answered: as people typed it, or as proposed by rule from the text above. An item that nothing
// answers is called so.

// %%
const checklist = reportingChecklist(review, manuscript);
notebook.show(checklistTable(checklist, 'PRISMA 2020'));
notebook.show(checklistTable(checklist, 'abstract'));
notebook.show(checklistTable(checklist, 'network extension'));
notebook.reading`${bulletList(checklistReading(checklist))}`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so.

// %%
notebook.claim(
  'Every finished sentence of the results names what it was written from.',
  // A review that has no study yet has no row that a sentence could name.
  review.studies.length === 0 ||
    results.every(
      ({ toSupply, sources }) => toSupply.length > 0 || sources.rows.length + sources.results.length > 0,
    ),
);
notebook.claim(
  'No item is called reported that nobody reported.',
  checklist.entries.every(({ state, row }) => state !== 'reported' || row !== undefined),
);
notebook.claimForDemo('The flow of the demo adds up.', () => flow.mismatches.length === 0);
