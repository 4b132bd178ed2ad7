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
    const data = Buffer.from(download.content as Uint8Array).toString('base64');
    return (
      `<a download="${escapeHtml(download.fileName)}" href="data:${download.mediaType};base64,${data}">` +
      `${escapeHtml(download.label)}<span class="quiet"> of ${escapeHtml(title)}</span></a>`
    );
  });
  return `<p class="downloads">Download ${links.join(' ')}</p>`;
}
