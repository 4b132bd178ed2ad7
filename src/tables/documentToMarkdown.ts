import { withoutAnswerMarks } from '../wording/answerMark.ts';
import { escapeMarkdown } from './escapeMarkdown.ts';
import { numberedBlocks } from './numberedBlocks.ts';
import type { DocumentBlock, ReportDocument } from './reportDocument.ts';
import { tableToMarkdown } from './tableToMarkdown.ts';

/** Options of {@link documentToMarkdown}. */
export interface MarkdownOptions {
  /** Where the picture of the figure stands that is number `at` (from 1); without it figures are told in words. */
  readonly pictureAt?: (at: number) => string;
}

/**
 * A document in GitHub-flavoured Markdown: the same blocks in the same order as in Word. Every text is escaped.
 *
 * @example
 * await writeFile('evidence.md', documentToMarkdown(evidence));
 */
export function documentToMarkdown(document: ReportDocument, options: MarkdownOptions = {}): string {
  const numberOf = numberedBlocks(document);
  let figures = 0;
  const written = (block: DocumentBlock): string => {
    switch (block.kind) {
      case 'heading':
        return `${'#'.repeat(block.level + 1)} ${lineStart(escapeMarkdown(block.text))}`;
      case 'paragraph':
        return block.emphasis === 'warning'
          ? `> **${escapeMarkdown(block.text)}**`
          : lineStart(escapeMarkdown(block.text));
      case 'list':
        return block.items
          .map((item, at) => `${block.numbered ? `${at + 1}.` : '-'} ${lineStart(escapeMarkdown(item))}`)
          .join('\n');
      case 'table':
        return tableToMarkdown({ ...block.table, caption: `${numberOf(block)} ${block.table.caption}` });
      case 'figure': {
        figures += 1;
        const picture =
          options.pictureAt && `![${escapeMarkdown(block.title)}](${encodeURI(options.pictureAt(figures))})`;
        return [
          `**${escapeMarkdown(`${numberOf(block)} ${block.title}`)}**`,
          picture,
          escapeMarkdown(block.description),
        ]
          .filter((part) => part !== undefined)
          .join('\n\n');
      }
      case 'page-break':
        return '---';
    }
  };
  const parts = [
    `# ${lineStart(escapeMarkdown(document.title))}`,
    ...(document.notice === undefined ? [] : [`> **${escapeMarkdown(document.notice)}**`]),
    ...document.blocks.map(written),
    `> ${escapeMarkdown(document.caution)}`,
  ];
  return withoutAnswerMarks(`${parts.join('\n\n')}\n`);
}

/** Words at the start of a line must not make a heading, a list or a rule of it. */
function lineStart(text: string): string {
  return text.replace(/^(\d+)([.)])(?=\s|$)/, '$1\\$2').replace(/^([#+=-])/, '\\$1');
}
