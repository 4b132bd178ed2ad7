import { escape as escapeHtml } from 'html-escaper';
import { markedHtml } from './markedHtml.ts';
import { numberedBlocks } from './numberedBlocks.ts';
import type { DocumentBlock, ReportDocument } from './reportDocument.ts';
import { tableToHtml } from './tableToHtml.ts';

/** Options of {@link documentToHtml}. */
export interface HtmlOptions {
  /** Style sheet; without it a plain one of its own. It is the program's text, never a reader's. */
  readonly style?: string;
}

/**
 * A document as one HTML page that loads nothing: the same blocks in the same order as in Word. Tables have scoped
 * headings and scroll on a small screen, every text is escaped.
 *
 * @example
 * await writeFile('evidence.html', documentToHtml(evidence));
 */
export function documentToHtml(document: ReportDocument, options: HtmlOptions = {}): string {
  const numberOf = numberedBlocks(document);
  let ids = 0;
  const nextId = (): string => {
    ids += 1;
    return `part-${ids}`;
  };
  const written = (block: DocumentBlock): string => {
    switch (block.kind) {
      case 'heading':
        return `<h${block.level + 1}>${markedHtml(block.text)}</h${block.level + 1}>`;
      case 'paragraph': {
        const kind = block.emphasis && { lead: 'lead', note: 'note', warning: 'invented' }[block.emphasis];
        return `<p${kind === undefined ? '' : ` class="${kind}"`}>${markedHtml(block.text)}</p>`;
      }
      case 'list': {
        const tag = block.numbered ? 'ol' : 'ul';
        return `<${tag}>${block.items.map((item) => `<li>${markedHtml(item)}</li>`).join('')}</${tag}>`;
      }
      case 'table': {
        const id = nextId();
        const caption = `${numberOf(block)} ${block.table.caption}`;
        return (
          `<div class="scroll" role="region" tabindex="0" aria-labelledby="${id}">` +
          `${tableToHtml({ ...block.table, caption }, { id })}</div>`
        );
      }
      case 'figure': {
        const id = nextId();
        return (
          `<figure aria-labelledby="${id}"><figcaption id="${id}">` +
          `${escapeHtml(`${numberOf(block)} ${block.title}`)}</figcaption><div>${block.svg}</div></figure>`
        );
      }
      case 'page-break':
        return '<hr class="page-break">';
    }
  };
  const notice =
    document.notice === undefined
      ? ''
      : `<p class="invented" role="note"><strong>${escapeHtml(document.notice)}</strong></p>\n`;
  return `<!doctype html>
<html lang="${escapeHtml(document.language)}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="generator" content="tenosite">
<link rel="icon" href="data:,">
<title>${escapeHtml(document.title)}</title>
<style>
${options.style ?? plainStyle}
</style>
</head>
<body>
<div class="page">
<main id="content">
${notice}<h1>${escapeHtml(document.title)}</h1>
${document.blocks.map(written).join('\n')}
<p class="caution">${escapeHtml(document.caution)}</p>
</main>
</div>
</body>
</html>
`;
}

const plainStyle = `body{margin:1.25rem auto;max-width:80rem;padding:0 1rem;color:#1b1f27;background:#fff;font:1rem/1.5 'Source Sans 3',Calibri,sans-serif}
table{border-collapse:collapse;font-size:.95rem;line-height:1.35}
caption,figcaption{text-align:left;font-weight:600;padding:.8rem 0 .4rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .9rem .3rem 0;border-bottom:1px solid #c3c9d2}
thead th{vertical-align:bottom;border-bottom:2px solid #1b1f27}
th[scope=colgroup]{border-bottom:1px solid #4a5260}
.right{text-align:right}
.group th{background:#eceef1}
.long{min-width:15em}
.note{color:#4a5260;font-size:.9rem;margin:.3rem 0}
.invented{color:#7a2230;border:1px solid;padding:.5rem .8rem}
.caution{border-left:4px solid #1b4a5e;padding:.4rem .8rem;background:#f3f4f6}
.scroll{overflow-x:auto}
svg{max-width:100%;height:auto}`;
