import { escape as escapeHtml } from 'html-escaper';

/** A file a page carries inside itself. */
export interface Download {
  /** What the link says: the kind of file. */
  readonly label: string;
  readonly fileName: string;
  readonly mediaType: string;
  readonly content: string | Uint8Array;
}

/** Links that save files held in the page itself, so that they work from `file://` and offline. */
export function downloadLinks(title: string, downloads: readonly Download[]): string {
  const links = downloads.map((download) => {
    return (
      `<a download="${escapeHtml(download.fileName)}" href='${dataAddress(download)}'>` +
      `${escapeHtml(download.label)}<span class="quiet"> of ${escapeHtml(title)}</span></a>`
    );
  });
  return `<p class="downloads">Download ${links.join(' ')}</p>`;
}

/**
 * A file as an address, ready for an attribute in single quotes. A picture stays readable text, a quarter shorter than
 * its base64 and not twice as long where it carries a font; an address keeps spaces and angle brackets, but not line
 * ends, `#` and `%` (WHATWG URL, data: paths).
 */
function dataAddress({ mediaType, content }: Download): string {
  if (typeof content !== 'string' || mediaType !== 'image/svg+xml')
    return `data:${mediaType};base64,${Buffer.from(content as Uint8Array).toString('base64')}`;
  const address = content.trimEnd().replace(/[%#\n\r\t]/g, (character) => encodeURIComponent(character));
  return `data:${mediaType};charset=utf-8,${address.replaceAll('&', '&amp;').replaceAll("'", '&#39;')}`;
}
