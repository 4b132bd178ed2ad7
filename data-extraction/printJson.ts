const longestLine = 110;

/** JSON with lists of plain values on one line where they fit, as the formatter of this project writes it. */
export function printJson(value: unknown): string {
  const text = JSON.stringify(value, null, 2);
  const list = /^(.*)\[\n((?: +(?:"(?:[^"\\]|\\.)*"|[\d.-]+),?\n)+) *\](,?)$/gm;
  return `${text.replace(list, (whole, before: string, entries: string, after: string) => {
    const line = `${before}[${entries.trim().replace(/\n */g, ' ')}]${after}`;
    return line.length <= longestLine ? line : whole;
  })}\n`;
}
