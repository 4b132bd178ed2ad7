/**
 * Text from a sheet, made safe to stand inside a line of Markdown: nothing in it becomes emphasis, a
 * link, a table edge or HTML, and line breaks become spaces.
 */
export function escapeMarkdown(text: string): string {
  return text
    .replace(/[ \t\r\n\v\f\u2028\u2029]+/g, ' ')
    .replace(/[\\`*_[\]<>|~&]/g, (character) => `\\${character}`);
}
