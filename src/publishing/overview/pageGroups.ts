import type { NotebookRun } from '../notebookRun.ts';
import type { FailedPage } from '../runNotebooks.ts';

/** Pages that answer one kind of question. */
export interface PageGroup {
  readonly heading: string;
  readonly runs: readonly NotebookRun[];
  /** Pages of this kind that could not be made. */
  readonly failures: readonly FailedPage[];
}

const groups: readonly { readonly heading: string; readonly names: readonly string[] }[] = [
  {
    heading: 'How often, at each site',
    names: ['overview-by-site', 'cosmetic-deformity', 'groove-pain', 'revision', 'scores', 'rare-events'],
  },
  {
    heading: 'Site against site',
    names: ['site-against-site', 'network-checks', 'moderators'],
  },
  {
    heading: 'How sure, and what would change the answer',
    names: [
      'evidence-tables',
      'how-sure',
      'what-would-change-the-answer',
      'every-defensible-choice',
      'claim-check',
    ],
  },
  {
    heading: 'What it rests on',
    names: ['manuscript-text', 'extraction-agreement', 'what-changed'],
  },
  {
    heading: 'Is the arithmetic right',
    names: ['worked-examples', 'methods-compared', 'calibration'],
  },
];

/** The pages of a run by the question they answer; a page no group knows stands under the last heading. */
export function pageGroups(
  runs: readonly NotebookRun[],
  failures: readonly FailedPage[] = [],
): readonly PageGroup[] {
  const known = new Set(groups.flatMap(({ names }) => names));
  const named = groups.map(({ heading, names }) => ({
    heading,
    runs: names.flatMap((name) => runs.filter((run) => run.name === name)),
    failures: names.flatMap((name) => failures.filter((failure) => failure.name === name)),
  }));
  const others = {
    heading: 'Further pages',
    runs: runs.filter(({ name }) => !known.has(name)),
    failures: failures.filter(({ name }) => !known.has(name)),
  };
  return [...named, others].filter((group) => group.runs.length + group.failures.length > 0);
}

/** What a page is for, as Markdown in one paragraph: its question, or else its first paragraph. */
export function purposeOf(run: NotebookRun): string {
  const opening = run.source.cells.find(({ kind }) => kind === 'markdown')?.text ?? '';
  const paragraphs = opening
    .split(/\n\s*\n/)
    .map((paragraph) => paragraph.replace(/\s+/g, ' ').trim())
    .filter((paragraph) => paragraph !== '' && !paragraph.startsWith('#'));
  const question = paragraphs.find((paragraph) => paragraph.startsWith('**The question.**'));
  return (question ?? paragraphs[0] ?? '').replace(/^\*\*The question\.\*\* */, '');
}
