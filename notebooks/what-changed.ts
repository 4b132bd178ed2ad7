// %% [markdown]
// # What changed since the last version
//
// **The question.** A panel has recommended something. A year later there are more studies, some numbers were corrected,
// a rule may have changed. Does what was recommended still stand, and what moved each number?
//
// **Why it is asked.** A committee does not read a review anew every year; it asks what is different. An answer that
// moved because a cell was mistyped is another matter than one that moved because a trial was published.
//
// **What would change the answer.** More studies; reports that still wait to be read; another choice of what counts as a
// difference that matters.

// %% [markdown]
// ## Does our recommendation still stand?
//
// A recommendation stands when the evidence still shows what it rests on: the interval lies wholly where the
// recommendation needs it, measured by the smallest difference that matters, at a certainty above very low. P values play
// no part.

// %%
import {
  agreeing,
  beforeAfter,
  bulletList,
  cellsChangeTable,
  certaintyChangeTable,
  compareVersions,
  conclusionsChangeTable,
  counted,
  inShort,
  movedConclusionsTable,
  openNotebook,
  ordersTable,
  recommendationsChangeTable,
  rulesChangeTable,
  splitTable,
  studiesChangeTable,
  versionsOf,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { before, after } = await versionsOf(notebook);
const report = compareVersions(before, after);
const { changes } = report;
notebook.record('changes', report);
const [answer = '', ...others] = report.headline;
notebook.reading`**${answer}** ${others.join(' ')}`;
if (report.recommendations.length > 0) notebook.show(recommendationsChangeTable(report));
notebook.reading`${bulletList(report.recommendations.map(({ statement, sentence }) => `${statement} ${sentence}`))}`;

// %% [markdown]
// ## Conclusions that moved
//
// A conclusion is where the difference between two sites lies against the smallest difference that matters: beyond it,
// within it, or so wide or so uncertain that it cannot be told. Differences are those of the body of evidence that
// answers: trials and other studies are rated apart, and the one of more certainty answers.

// %%
const moved = report.conclusions.filter(({ standing }) => !standing.startsWith('still'));
if (moved.length > 0) notebook.show(movedConclusionsTable(report, moved));
notebook.reading`${moved.length} of ${report.conclusions.length} conclusions moved.

${bulletList(moved.map(({ sentence }) => sentence))}`;

// %% [markdown]
// ## In short
//
// What came in, what was mended, what stayed, what waits.

// %%
notebook.reading`Last search ${changes.after.lastSearch}; of the earlier version ${changes.before.lastSearch}.

${bulletList(inShort(report))}`;

// %% [markdown]
// ## Numbers before and now, and what moved them
//
// Each number is worked out again for both versions and for the versions that never were: the new studies alone, the
// corrections alone, the new rules on the old data. A change is split among its causes as the average over the orders in
// which they can come, so that the parts add up to the whole.

// %%
const movedAnswers = report.answers.filter(
  ({ before: old, after: now }) =>
    old?.value !== undefined && now?.value !== undefined && old.value !== now.value,
);
notebook.draw((frame) => beforeAfter(report, { ...frame, title: 'Rates at each site, before and now' }), {
  title: 'Rates before and now, and what moved them',
  name: 'rates',
});
notebook.draw(
  (frame) =>
    beforeAfter(report, { ...frame, kind: 'comparison', title: 'One site against another, before and now' }),
  { title: 'Differences between sites before and now, and what moved them', name: 'differences' },
);
if (movedAnswers.length > 0) notebook.show(splitTable(report));
const orders = ordersTable(report);
if (orders.rows.length > 0) notebook.show(orders);
notebook.reading`${counted(movedAnswers.length, 'number')} moved. For ${orders.rows.length} of them data and rules act on each other: what
  each contributes depends on which is taken first.`;

// %% [markdown]
// ## Every conclusion
//
// Also those that stand, and those that could not be told before and cannot be told now.

// %%
if (report.conclusions.length > 0) notebook.show(conclusionsChangeTable(report));
notebook.reading`${report.conclusions.filter(({ standing }) => standing === 'still stands').length} conclusions stand as before.`;

// %% [markdown]
// ## What changed in the sheets and in the rules
//
// Every study, cell and rule, with the line it stands on. A value that nobody had found in the paper before is told apart
// from one that was corrected.

// %%
const ofStudies = changes.cells.filter(({ study }) => study !== undefined);
const studies = studiesChangeTable(report);
if (studies.rows.length > 0) notebook.show(studies);
if (ofStudies.length > 0) notebook.show(cellsChangeTable(ofStudies, 'Cells of studies in both versions'));
if (changes.rules.length > 0) notebook.show(rulesChangeTable(report));
const certainty = certaintyChangeTable(report);
if (certainty.rows.length > 0) notebook.show(certainty);
notebook.reading`${counted(changes.studiesAdded.length, 'report')} came in, ${changes.studiesRemoved.length} went out; changed
  ${agreeing(ofStudies.length + changes.rules.length, 'is', 'are')} ${counted(ofStudies.length, 'cell')} of studies in both versions and ${counted(changes.rules.length, 'key')} of the protocol.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
const near = (one: number, other: number, ofSize: number): boolean =>
  Math.abs(one - other) <= 1e-12 * Math.max(1, Math.abs(ofSize));
notebook.claim(
  'The parts of every change add up to the change.',
  report.answers.every(
    ({ before: old, after: now, split }) =>
      split === undefined ||
      (near(
        split.parts.reduce((sum, { value }) => sum + value, 0),
        split.total,
        now?.value ?? 0,
      ) &&
        near(split.total, (now?.value ?? 0) - (old?.value ?? 0), now?.value ?? 0)),
  ),
);
notebook.claim(
  'Every changed cell names the line it stands on in both versions.',
  changes.cells.every(({ placeBefore, placeAfter }) => placeBefore.line > 0 && placeAfter.line > 0),
);
notebook.claim(
  'Nothing that a recommendation rests on is borne out or contradicted by evidence of very low certainty.',
  report.recommendations.every(({ premises }) =>
    premises.every(({ after: now }) => now.certainty !== 'very low' || now.state === 'cannot be told'),
  ),
);
notebook.claimForDemo(
  'Revision stays rare after suprapectoral fixation, and no recommendation is contradicted.',
  () =>
    report.recommendations.some(
      ({ recommendation, standing }) => recommendation === 'revision-rare' && standing === 'still stands',
    ) && report.recommendations.every(({ standing }) => !/contradicted|no longer/.test(standing)),
);
notebook.claimForDemo('No conclusion about two sites was lost or turned round.', () =>
  report.conclusions.every(({ standing }) => standing !== 'changed' && standing !== 'can no longer be told'),
);
