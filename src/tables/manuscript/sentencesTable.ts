import { type Table, table } from '../table.ts';
import type { Manuscript, ManuscriptParagraph } from './sentence.ts';

/**
 * One part of a manuscript sentence by sentence: the item it answers, the sentence, and how many sheet rows it was
 * written from, which the table's sources name.
 *
 * @example
 * sentencesTable(manuscriptText(input), 'Results')
 */
export function sentencesTable(manuscript: Manuscript, part: ManuscriptParagraph['part']): Table {
  const paragraphs = manuscript.paragraphs.filter((paragraph) => paragraph.part === part);
  const sentences = paragraphs.flatMap((paragraph) => paragraph.sentences);
  return table({
    caption: `${part}, sentence by sentence`,
    columns: [
      { key: 'item', heading: 'Item' },
      { key: 'text', heading: 'Sentence' },
      { key: 'rows', heading: 'Sheet rows behind it', align: 'right' },
    ],
    rows: sentences.map(({ item, text, sources }) => ({ item, text, rows: sources.rows.length })),
    rowGroups: paragraphs.map(({ heading, sentences: own }) => ({ heading, rows: own.length })),
    sources: sentences.map(({ sources }) => sources.rows),
    notes: [
      'Item: of the PRISMA 2020 checklist. Square brackets: for the author to supply. A number in parentheses: place in the reference list.',
    ],
  });
}
