import { escape as escapeXml } from 'html-escaper';
import { fontParts, type WordFonts, withEmbeddingSetting, withFontType } from './embeddedFonts.ts';
import { wordText } from './wordText.ts';

/** What the writer of the package does not put in. */
export interface PackageFacts {
  readonly language: string;
  /** Captions of the tables in the order of the document, for those who hear it. */
  readonly captions: readonly string[];
  readonly fonts?: WordFonts;
}

/** The earliest time a zip can hold: the same document is the same file whenever it is written. */
const noTime = new Date(Date.UTC(1980, 0, 1));

/**
 * The finished Word file: language of the document, captions of the tables for screen readers, the font to take
 * instead, and no trace of when it was made.
 */
export async function finishPackage(packed: Uint8Array, facts: PackageFacts): Promise<Uint8Array> {
  const { default: JSZip } = await import('jszip');
  const made = await JSZip.loadAsync(packed);
  const finished = new JSZip();
  const fonts = fontParts(facts.fonts);
  const written = Object.keys(made.files).filter((path) => !made.files[path]!.dir);
  const paths = [...new Set([...written, ...fonts.keys()])];
  // Readers look for the list of contents first.
  paths.sort((a, b) => Number(b === contents) - Number(a === contents) || (a < b ? -1 : 1));
  for (const path of paths) {
    const file = made.file(path)!;
    const content =
      fonts.get(path) ??
      (path.endsWith('.xml')
        ? finishPart(path, await file.async('string'), facts)
        : await file.async('uint8array'));
    finished.file(path, content, { date: noTime, createFolders: false });
  }
  return finished.generateAsync({ type: 'uint8array', compression: 'DEFLATE', platform: 'DOS' });
}

const contents = '[Content_Types].xml';

function finishPart(path: string, xml: string, facts: PackageFacts): string {
  if (facts.fonts !== undefined && path === contents) return withFontType(xml);
  if (facts.fonts !== undefined && path === 'word/settings.xml') return withEmbeddingSetting(xml);
  if (path === 'docProps/core.xml') {
    return xml
      .replace(/<dcterms:(created|modified)[^>]*>[^<]*<\/dcterms:\1>/g, '')
      .replace(
        '</cp:coreProperties>',
        `<dc:language>${escapeXml(facts.language)}</dc:language></cp:coreProperties>`,
      );
  }
  if (path !== 'word/document.xml') return xml;
  let table = -1;
  let drawing = 0;
  return xml
    .replace(/<\/w:tblPr>/g, () => {
      table += 1;
      const caption = escapeXml(wordText(facts.captions[table] ?? ''));
      return `<w:tblCaption w:val="${caption}"/></w:tblPr>`;
    })
    .replace(/<wp:docPr id="[^"]*"/g, () => {
      drawing += 1;
      return `<wp:docPr id="${drawing}"`;
    });
}
