import type { DocumentBlock, ReportDocument } from '../reportDocument.ts';
import { type PageTurn, turnFor } from './columnWidths.ts';

/** Blocks that follow each other on pages turned the same way. */
export interface DocumentSection {
  readonly turn: PageTurn;
  readonly blocks: readonly DocumentBlock[];
}

/**
 * Which blocks stand on pages turned on their side?
 *
 * A wide table turns the page for everything under its heading, so that no heading is left behind on the page
 * before; the next heading turns it back. Headings that follow each other directly are taken as one.
 */
export function documentSections(document: ReportDocument): readonly DocumentSection[] {
  const parts: DocumentBlock[][] = [[]];
  let before: DocumentBlock | undefined;
  for (const block of document.blocks) {
    if (block.kind === 'heading' && before?.kind !== 'heading') parts.push([]);
    parts.at(-1)?.push(block);
    before = block;
  }
  const sections: { turn: PageTurn; blocks: DocumentBlock[] }[] = [];
  for (const blocks of parts.filter((part) => part.length > 0)) {
    const wide = blocks.some((block) => block.kind === 'table' && turnFor(block.table) === 'landscape');
    const turn: PageTurn = wide ? 'landscape' : 'portrait';
    const last = sections.at(-1);
    if (last?.turn === turn) last.blocks.push(...blocks);
    else sections.push({ turn, blocks: [...blocks] });
  }
  // A turned page is a new page already.
  return sections.map(({ turn, blocks }, at) => ({
    turn,
    blocks: blocks.filter(
      (block, place) =>
        block.kind !== 'page-break' ||
        !((place === 0 && at > 0) || (place === blocks.length - 1 && at < sections.length - 1)),
    ),
  }));
}
