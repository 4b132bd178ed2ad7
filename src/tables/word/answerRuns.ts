import { bookmarkOf, splitAnswerMarks } from '../../wording/answerMark.ts';
import { wordText } from './wordText.ts';

type Docx = typeof import('docx');
type Run = InstanceType<Docx['TextRun']> | InstanceType<Docx['Bookmark']>;
interface RunLook {
  readonly bold?: boolean;
}

/**
 * Makes the runs of a document's texts, with a bookmark around each answer's number. Word wants every bookmark's name
 * once, so the second place of an answer has a number behind it: `answer_rate_revision_tenotomy_2`.
 */
export function answerRuns(docx: Docx) {
  const places = new Map<string, number>();
  const bookmark = (answer: string, children: readonly Run[]): Run => {
    const place = (places.get(answer) ?? 0) + 1;
    places.set(answer, place);
    const name = bookmarkOf(answer);
    return new docx.Bookmark({
      id: place === 1 ? name : `${name}_${place}`,
      children: [...children] as never,
    });
  };
  const run = (text: string, look: RunLook): Run => new docx.TextRun({ text: wordText(text), ...look });
  return {
    /** @param answer the answer the whole text prints; marks within it otherwise say which part prints which */
    of: (text: string, look: RunLook = {}, answer?: string): readonly Run[] => {
      const pieces = splitAnswerMarks(text);
      if (answer !== undefined)
        return [
          bookmark(
            answer,
            pieces.map((piece) => run(piece.text, look)),
          ),
        ];
      return pieces.map((piece) =>
        piece.answer === undefined ? run(piece.text, look) : bookmark(piece.answer, [run(piece.text, look)]),
      );
    },
  };
}

export type AnswerRuns = ReturnType<typeof answerRuns>;
