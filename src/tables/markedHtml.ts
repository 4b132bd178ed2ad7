import { escape as escapeHtml } from 'html-escaper';
import { splitAnswerMarks } from '../wording/answerMark.ts';

/** A text escaped for HTML, each answer it prints in an element that names the answer in `data-answer`. */
export const markedHtml = (text: string): string =>
  splitAnswerMarks(text)
    .map(({ text: words, answer }) =>
      answer === undefined
        ? escapeHtml(words)
        : `<span data-answer="${escapeHtml(answer)}">${escapeHtml(words)}</span>`,
    )
    .join('');
