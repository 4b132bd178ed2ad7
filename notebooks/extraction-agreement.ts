// %% [markdown]
// # Do two readers agree, and do the papers add up?
//
// **The question.** Two people read every paper without seeing what the other typed. Where do they agree, how far
// apart are they elsewhere, and can the numbers that the papers print be right?
//
// **Why it is asked.** A slip of the keyboard in one count can move a pooled rate of a rare event as much as a whole
// study. Nobody can check what was typed once.
//
// **What would change the answer.** A third reading of the rows at the top of the work list; an answer from the
// authors of a paper whose numbers contradict each other.

// %% [markdown]
// ## How well do the two agree?
//
// Rows are matched by study, arm, outcome and time; then every cell is compared. A value against a blank is counted
// by itself: one person found what the other did not.

// %%
import {
  agreeing,
  agreementPicture,
  agreementReading,
  applyDecisions,
  auditLetter,
  auditReading,
  auditReview,
  auditTable,
  bulletList,
  compareExtractions,
  counted,
  decisionsTable,
  differencesTable,
  documentToMarkdown,
  extractorFolders,
  kappaTable,
  openNotebook,
  overlapClusters,
  overlapTable,
  readDecisions,
  readExtractionFolder,
  readExtractorDecisions,
  suspectedOverlaps,
  suspectedOverlapTable,
  workListTable,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review, folder } = notebook;
const [mine, theirs] =
  extractorFolders(folder) ??
  notebook.skip('the review has no folders extractors/first and extractors/second');
const unreadable = 'the folders of the two extractors hold errors; npm run agreement names them';
const first = readExtractionFolder(mine, 'first').extraction ?? notebook.skip(unreadable);
const second = readExtractionFolder(theirs, 'second').extraction ?? notebook.skip(unreadable);
const comparison = compareExtractions(first, second);
notebook.reading`${bulletList(agreementReading(comparison))}`;

// %% [markdown]
// ## Where they disagree
//
// Every square is one disagreement. Many squares in one column point at a rule that the two read differently; single
// squares here and there are slips.

// %%
notebook.draw((frame) => agreementPicture(comparison, frame), {
  title: 'Disagreements by sheet and column',
  name: 'disagreements',
});
notebook.reading`${
  comparison.disagreements.length === 0
    ? 'The two agree in every cell both could fill.'
    : `${counted(comparison.disagreements.length, 'disagreement')} in all. The work list below names each of them.`
}`;

// %% [markdown]
// ## Categories, beyond chance
//
// Two people who answer at random still agree now and then. Kappa is the share of the possible agreement beyond that.
// It falls when nearly all answers are alike, so that raw agreement and prevalence stand beside it.

// %%
notebook.show(kappaTable(comparison), { beside: 'about the studies' });
notebook.reading`No words such as "good" or "excellent" are given: published scales of such words contradict each
  other, and what agreement is good enough depends on what hangs on it.`;

// %% [markdown]
// ## Numbers: equal, or how far apart?
//
// For numbers a count of exact matches says more than any coefficient, and the size of the differences says whether
// they matter.

// %%
notebook.show(differencesTable(comparison));
notebook.reading`A decimal point that slipped shows as a relative difference of about 90%.`;

// %% [markdown]
// ## The work list
//
// What a pooled number rests on comes first. Each line names the place in both files and in the paper.

// %%
notebook.show(workListTable(comparison), { name: 'work-list' });
notebook.reading`The download is the file to decide in: fill in its last columns and read it back with
  npm run agreement.`;

// %% [markdown]
// ## Who decided what
//
// A consensus is more than a second opinion when it says who decided, when and why. A decision about values that have changed
// since is refused.

// %%
const decisionsText = readExtractorDecisions(folder);
const settled =
  decisionsText === undefined ? undefined : applyDecisions(comparison, readDecisions(decisionsText));
const consensus = settled?.consensus;
if (consensus !== undefined) notebook.show(decisionsTable(consensus));
notebook.reading`${
  consensus !== undefined
    ? `${counted(consensus.decided.length, 'decision')} ${agreeing(consensus.decided.length, 'settles', 'settle')} every disagreement.`
    : settled === undefined
      ? 'Nothing has been decided yet.'
      : `The decisions do not settle everything yet: ${counted(settled.problems.length, 'problem')} ${agreeing(settled.problems.length, 'stands', 'stand')} in the way.`
}`;

// %% [markdown]
// ## Are two reports about the same patients?
//
// Patients counted twice make a result look surer than it is. Reports that declare a common group of patients are resolved by the
// rule of the protocol; others may only look as if they shared some.

// %%
const clusters = overlapClusters(review);
if (clusters.length > 0) notebook.show(overlapTable(clusters));
const suspected = suspectedOverlaps(review);
if (suspected.length > 0) notebook.show(suspectedOverlapTable(suspected));
notebook.reading`Groups of patients in more than one report: ${clusters.length}. Pairs of reports that declare nothing in
  common and agree in country, hospitals, surgeons and years of enrolment: ${suspected.length}. A suspicion is looked into, and
  nothing is left out because of it.`;

// %% [markdown]
// ## Do the papers add up?
//
// What papers print beside the counts is held against the counts: percentages, p values by every usual test, ratios, spreads
// and numbers of patients.

// %%
const audit = auditReview(review);
notebook.record('audit', audit);
if (audit.findings.length > 0) notebook.show(auditTable(audit));
notebook.reading`${bulletList(auditReading(audit))}`;

// %% [markdown]
// ## A letter to the authors
//
// A number that does not fit is asked about before it is used. Here is the letter with the most questions; the others are
// made the same way.

// %%
const studies = [...new Set(audit.findings.map(({ study }) => study))];
const questions = (study: string): number => audit.findings.filter((each) => each.study === study).length;
const [asked] = studies.toSorted((a, b) => questions(b) - questions(a));
const letters = studies.flatMap(
  (study) =>
    auditLetter(audit, study, {
      review: review.protocol.title,
      ...(review.protocol.notice === undefined ? {} : { notice: review.protocol.notice }),
    }) ?? [],
);
const letter = asked === undefined ? undefined : letters[studies.indexOf(asked)];
if (letter !== undefined) {
  notebook.attach(letter);
  notebook.show({ kind: 'prose', markdown: documentToMarkdown(letter) });
}
notebook.reading`${letters.length === 0 ? 'There is nobody to write to.' : `${counted(letters.length, 'letter')} ${agreeing(letters.length, 'is', 'are')} to be written.`}`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
notebook.claim(
  'No decision is left without a disagreement, and none twice.',
  consensus === undefined || consensus.decided.length === comparison.disagreements.length,
);
notebook.claim(
  'Exchanging the two people changes no count of disagreements.',
  compareExtractions(second, first).disagreements.length === comparison.disagreements.length,
);
notebook.claim(
  'Every study with a finding has its letter.',
  letters.length === new Set(audit.findings.map(({ study }) => study)).size,
);
notebook.claimForDemo(
  'The decisions settle every disagreement of the demonstration.',
  () => consensus !== undefined,
);
