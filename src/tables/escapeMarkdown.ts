/**
 * Text from a sheet, made safe to stand inside a line of Markdown: nothing in it becomes emphasis, a
 * link, a table edge or HTML, and line breaks become spaces.
 */
export function escapeMarkdown(text: string): string {
  return text.replace(/\s+/g, ' ').replace(/[\\`*_[\]<>|~&]/g, (character) => `\\${character}`);
}
