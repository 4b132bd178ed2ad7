import { slideStyle } from '../../figures/mediaStyles.ts';
import { palette } from '../../figures/palette.ts';
import { clampSlideText, wrapSlideText } from '../../figures/slideText.ts';
import { type Table, table } from '../../tables/table.ts';
import type { Box, LaidOutSlide, Placed } from './placed.ts';
import { placePeople } from './placePeople.ts';
import { placeTable } from './placeTable.ts';
import { placeSentences, placeText } from './placeText.ts';
import type { Slide, SlideBlock, Talk } from './slide.ts';
import { lineSpacing, slideBoxes, smallest } from './slideGeometry.ts';

/** Sizes a title may have, each with the lines it may take. */
export const titleSizes = [
  { size: slideStyle.titleSize, lines: 2 },
  { size: 28, lines: 2 },
  { size: 22, lines: 3 },
] as const;

const between = 12;

/**
 * Every slide of a talk with its text broken, sized and placed.
 *
 * Nothing is set under 18 pt, nothing leaves its box: sentences and rows that do not fit go on to a slide of the same
 * title, and a title that is longer than three lines ends in an ellipsis (the notes keep it whole).
 *
 * @example
 * layOutTalk(talkOfReview(review))[0]?.placed.length
 */
export function layOutTalk(talk: Talk): readonly LaidOutSlide[] {
  const pages = talk.slides.flatMap(pagesOf);
  return pages.map(({ slide, body, part, parts }, at) => {
    const title = parts === 1 ? slide.title : `${slide.title} (${part}\u00a0of\u00a0${parts})`;
    const set = titleSet(title);
    return {
      id: parts === 1 ? slide.id : `${slide.id}-${part}`,
      title: set.text,
      notes: set.text === title ? slide.notes : [title, ...slide.notes],
      placed: [placeTitle(set), ...body, ...footer(talk, slide.source, at + 1)],
    };
  });
}

/** Shortens a title to what its box holds. */
function titleSet(title: string): { readonly text: string; readonly size: number } {
  const { width } = slideBoxes.title;
  const fitting = titleSizes.find(
    ({ size, lines }) => wrapSlideText(title, width, size, true).length <= lines,
  );
  if (fitting !== undefined)
    return { text: clampSlideText(title, width, fitting.size, fitting.lines, true), size: fitting.size };
  const { size, lines } = titleSizes.at(-1)!;
  return { text: clampSlideText(title, width, size, lines, true), size };
}

/** Titles stand on the foot of their box, near what they speak of. */
function placeTitle({ text, size }: { readonly text: string; readonly size: number }): Placed {
  const { title } = slideBoxes;
  const height = wrapSlideText(text, title.width, size, true).length * size * lineSpacing;
  const box = { ...title, top: title.top + title.height - height, height };
  return placeText('title', text, box, { size, face: 'bold' });
}

interface Page {
  readonly slide: Slide;
  readonly body: readonly Placed[];
  readonly part: number;
  readonly parts: number;
}

function pagesOf(slide: Slide): readonly Page[] {
  const bodies: (readonly Placed[])[] = [];
  let waiting: readonly SlideBlock[] = slide.blocks;
  do {
    const { placed, rest } = fill(waiting);
    bodies.push(placed);
    waiting = rest;
  } while (waiting.length > 0);
  return bodies.map((body, at) => ({ slide, body, part: at + 1, parts: bodies.length }));
}

/** Fills one slide from the top; people with sentences stand side by side. */
function fill(blocks: readonly SlideBlock[]): {
  readonly placed: readonly Placed[];
  readonly rest: readonly SlideBlock[];
} {
  const [first, second] = blocks;
  if (first?.kind === 'people' && first.groups.length <= 2 && second?.kind === 'sentences') {
    const [left, right] = halves(slideBoxes.body);
    const { placed, rest } = placeSentences(second.sentences, right);
    return {
      placed: [...placePeople(first.groups, first.description, left), placed],
      rest:
        rest.length === 0 ? blocks.slice(2) : [{ kind: 'sentences', sentences: rest }, ...blocks.slice(2)],
    };
  }
  const placed: Placed[] = [];
  let room: Box = slideBoxes.body;
  for (const [at, block] of blocks.entries()) {
    // People need a slide's height; a table or sentences need a few lines at least.
    if (at > 0 && (block.kind === 'people' || room.height < 4 * smallest * lineSpacing))
      return { placed, rest: blocks.slice(at) };
    if (block.kind === 'people') {
      placed.push(...placePeople(block.groups, block.description, room));
      return { placed, rest: blocks.slice(at + 1) };
    }
    if (block.kind === 'sentences') {
      const kept = placeSentences(block.sentences, keepRoomFor(blocks[at + 1], room));
      const set = kept.whole ? kept : placeSentences(block.sentences, room);
      placed.push(set.placed);
      if (set.rest.length > 0)
        return { placed, rest: [{ ...block, sentences: set.rest }, ...blocks.slice(at + 1)] };
      room = below(room, set.height + between);
      continue;
    }
    const set = placeTable(block.table, room);
    // A table that would be torn is begun on a slide of its own.
    const fresh = at > 0 && placeTable(block.table, slideBoxes.body);
    if (fresh && set.rest.length > fresh.rest.length) return { placed, rest: blocks.slice(at) };
    placed.push(set.placed);
    if (set.rest.length > 0)
      return {
        placed,
        rest: [{ kind: 'table', table: lastRows(block.table, set.rest.length) }, ...blocks.slice(at + 1)],
      };
    room = below(room, set.placed.box.height + between);
  }
  return { placed, rest: [] };
}

/** The rows of a table still to be placed, each with the answer and the sheet lines it came with. */
function lastRows(source: Table, count: number): Table {
  const { rows, answers, sources } = source;
  const from = rows.length - count;
  return table({
    ...source,
    rows: rows.slice(from),
    ...(answers && { answers: answers.slice(from) }),
    ...(sources && { sources: sources.slice(from) }),
  });
}

/** Sentences above a table are set small enough to leave it its room, where that is possible. */
function keepRoomFor(next: SlideBlock | undefined, room: Box): Box {
  if (next?.kind !== 'table') return room;
  const wanted = placeTable(next.table, slideBoxes.body).placed.box.height + between;
  const left = room.height - wanted;
  return left >= 2 * smallest * lineSpacing ? { ...room, height: left } : room;
}

const below = (box: Box, used: number): Box => ({ ...box, top: box.top + used, height: box.height - used });

function halves(box: Box): readonly [Box, Box] {
  const gap = 36;
  const width = (box.width - gap) / 2;
  return [
    { ...box, width },
    { ...box, left: box.left + width + gap, width },
  ];
}

function footer(talk: Talk, source: string | undefined, number: number): readonly Placed[] {
  const small = { size: smallest } as const;
  const one = (text: string, { width }: Box, bold = false) => clampSlideText(text, width, smallest, 1, bold);
  const { source: sourceBox, notice, caution } = slideBoxes;
  const cautionBox = { ...caution, width: caution.width - slideBoxes.number.width - 8 };
  return [
    ...(source === undefined
      ? []
      : [placeText('source', one(source, sourceBox), sourceBox, { ...small, colour: palette.quiet })]),
    { kind: 'rule', box: slideBoxes.rule },
    ...(talk.notice === undefined
      ? []
      : [
          placeText('notice', one(talk.notice, notice, true), notice, {
            ...small,
            face: 'bold',
            colour: palette.notice,
          }),
        ]),
    placeText('caution', one(talk.caution, cautionBox), cautionBox, { ...small, colour: palette.ink }),
    placeText('number', String(number), slideBoxes.number, {
      ...small,
      colour: palette.quiet,
      align: 'right',
    }),
  ];
}
