import type { DocumentBlock, ReportDocument } from './reportDocument.ts';

/** How a table or figure of a document is called: `Table 1.`, `Figure 2.`; counted apart, in reading order. */
export function numberedBlocks(document: ReportDocument): (block: DocumentBlock) => string {
  const names = new Map<DocumentBlock, string>();
  const counts = { table: 0, figure: 0 };
  for (const block of document.blocks) {
    if (block.kind !== 'table' && block.kind !== 'figure') continue;
    counts[block.kind] += 1;
    names.set(block, `${block.kind === 'table' ? 'Table' : 'Figure'} ${counts[block.kind]}.`);
  }
  return (block) => names.get(block) ?? '';
}
