import { escapeMarkdown } from '../tables/escapeMarkdown.ts';
import { tableToMarkdown } from '../tables/tableToMarkdown.ts';
import { withoutAnswerMarks } from '../wording/answerMark.ts';
import { departuresOfRun, type NotebookOutput, type NotebookRun, outputsOfCell } from './notebookRun.ts';
import { clinicalCaution, factEntries, inventedDataWarning, showsInventedData } from './pageFacts.ts';

/** A file to write: path from the folder it belongs in, and what it holds. */
export interface WrittenFile {
  readonly path: string;
  readonly content: string;
}

/**
 * The companion of a notebook for reading on the web: Markdown with the figures as SVG files beside it.
 * Nothing in it depends on the clock or the machine, so that two runs can be compared byte by byte.
 */
export function companion(run: NotebookRun): readonly WrittenFile[] {
  const figures: WrittenFile[] = [];
  const output = (made: NotebookOutput): string => {
    if (made.kind === 'prose') return made.markdown;
    if (made.kind === 'table') return tableToMarkdown(made.table);
    if (made.kind === 'claim') {
      const { statement, status, about } = made.claim;
      const scope = about === 'the demo only' ? ' (a fact about the demo data only)' : '';
      return `- **${status === 'holds' ? 'Holds' : 'Not checked'}:** ${statement}${scope}`;
    }
    if (made.kind === 'document')
      return `The page offers this as a Word document: **${escapeMarkdown(made.document.title)}**.`;
    if (made.kind === 'figure') {
      figures.push({ path: `${run.name}/${made.name}.svg`, content: ensureNewline(made.wide) });
      return `![${escapeMarkdown(made.title)}](${run.name}/${made.name}.svg)`;
    }
    return '';
  };
  const cells = run.source.cells.flatMap((cell) => {
    if (cell.kind === 'markdown') return [cell.text];
    return [`${fence(cell.text)}`, joinClaims(outputsOfCell(run, cell.number).map(output))];
  });
  const [opening = '', ...rest] = cells;
  const text = [
    ...(showsInventedData(run.facts) ? [`> **${inventedDataWarning}**`] : []),
    opening,
    `> ${clinicalCaution}`,
    ...rest,
    about(run),
  ];
  return [
    {
      path: `${run.name}.md`,
      content: ensureNewline(withoutAnswerMarks(text.filter((part) => part !== '').join('\n\n'))),
    },
    ...figures,
  ];
}

/** List items must follow each other without a blank line between them. */
function joinClaims(parts: readonly string[]): string {
  return parts
    .filter((part) => part !== '')
    .reduce((text, part) => {
      if (text === '') return part;
      return text + (part.startsWith('- ') && /(?:^|\n)- [^\n]*$/.test(text) ? '\n' : '\n\n') + part;
    }, '');
}

/** A fenced block whose fence is longer than any run of backticks inside. */
function fence(code: string): string {
  const longest = Math.max(2, ...[...code.matchAll(/`+/g)].map((match) => match[0].length));
  const marks = '`'.repeat(longest + 1);
  return `${marks}ts\n${code}\n${marks}`;
}

function about(run: NotebookRun): string {
  const { facts } = run;
  const departures = departuresOfRun(run);
  const lines = [
    ...factEntries(facts),
    ...run.methods.map((method) => ['Methods', method]),
    ['Departures from the protocol', departures.length > 0 ? departures.join(' ') : 'none'],
    ...(run.sensitivityAnalyses.length === 0
      ? []
      : [['Sensitivity analyses', run.sensitivityAnalyses.join(' ')] as const]),
    ['Programs', `tenosite ${facts.tenositeVersion}`],
  ];
  return `## Where the numbers come from\n\n${lines
    .map(([term, text]) => `- **${term}:** ${escapeMarkdown(text ?? '')}`)
    .join('\n')}`;
}

function ensureNewline(text: string): string {
  return text.endsWith('\n') ? text : `${text}\n`;
}
