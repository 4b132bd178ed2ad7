import { escape as escapeText } from 'html-escaper';
import { cleanText } from './pptxOfTalk.ts';

/** Puts each paragraph of a slide's notes into a paragraph of its own. */
export function cleanNotes(xml: string, notes: readonly string[], language: string): string {
  const paragraphs = notes
    .map(
      (text) =>
        `<a:p><a:r><a:rPr lang="${language}" dirty="0"/><a:t>${escapeText(cleanText(text))}</a:t></a:r></a:p>`,
    )
    .join('');
  // The notes' body is the one placeholder of type body; its text follows it.
  return xml.replace(
    /(<p:ph type="body"[\s\S]*?<a:lstStyle\/>)[\s\S]*?(<\/p:txBody>)/,
    (_, start: string, end: string) => `${start}${paragraphs}${end}`,
  );
}
