import { answersIn, withoutAnswerMarks } from '../../wording/answerMark.ts';
import type { Slide, SlideBlock } from './slide.ts';

/**
 * A slide has no place for the id of an answer, its notes have: the marks come off every text, and one paragraph of the
 * notes names the answers whose numbers the slide prints.
 */
export function tellAnswers(slide: Slide): Slide {
  const shown = JSON.stringify([slide.title, slide.blocks]);
  const rows = slide.blocks.flatMap((block) => (block.kind === 'table' ? (block.table.answers ?? []) : []));
  const told = [...new Set([...answersIn(shown), ...rows.flatMap((answer) => answer ?? [])])];
  return {
    ...slide,
    title: withoutAnswerMarks(slide.title),
    blocks: slide.blocks.map(plainBlock),
    notes: [
      ...slide.notes.map(withoutAnswerMarks),
      ...(told.length === 0 ? [] : [`Answers told on this slide (answers.json): ${told.join('; ')}.`]),
    ],
  };
}

function plainBlock(block: SlideBlock): SlideBlock {
  if (block.kind === 'sentences')
    return {
      ...block,
      sentences: block.sentences.map((sentence) => ({
        ...sentence,
        text: withoutAnswerMarks(sentence.text),
      })),
    };
  if (block.kind === 'people')
    return {
      ...block,
      groups: block.groups.map((group) => ({ ...group, lines: group.lines.map(withoutAnswerMarks) })),
      description: withoutAnswerMarks(block.description),
    };
  return block;
}
