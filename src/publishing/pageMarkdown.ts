import MarkdownIt from 'markdown-it';
import { replaceAnswerMarks } from '../wording/answerMark.ts';

/** A heading of a page, for the contents list. */
export interface PageHeading {
  readonly level: number;
  readonly id: string;
  readonly text: string;
}

/** Marks that went through Markdown as text become elements; their words were escaped there, an id holds nothing to escape. */
const withAnswers = (html: string): string =>
  replaceAnswerMarks(html, (id, words) => `<span data-answer="${id}">${words}</span>`);

/**
 * Markdown to HTML with HTML in the source shown as text and images refused (a page loads nothing).
 *
 * @param nextId gives each heading its anchor
 * @returns a function that renders a piece, and the headings met so far in order
 */
export function pageMarkdown(nextId: (text: string) => string): {
  readonly render: (markdown: string) => string;
  readonly renderInline: (markdown: string) => string;
  readonly headings: readonly PageHeading[];
} {
  const headings: PageHeading[] = [];
  const reader = new MarkdownIt({ html: false, linkify: false, typographer: false }).disable('image');
  reader.core.ruler.push('heading-anchors', (state) => {
    state.tokens.forEach((token, at) => {
      if (token.type !== 'heading_open') return;
      const text = (state.tokens[at + 1]?.children ?? [])
        .filter((child) => child.type === 'text' || child.type === 'code_inline')
        .map((child) => child.content)
        .join('');
      const id = nextId(text);
      token.attrSet('id', id);
      headings.push({ level: Number(token.tag.slice(1)), id, text });
    });
  });
  return {
    render: (markdown) => withAnswers(reader.render(markdown)),
    renderInline: (markdown) => withAnswers(reader.renderInline(markdown)),
    headings,
  };
}
