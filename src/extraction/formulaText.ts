/** Text a spreadsheet would run; signed numbers and lone dashes are data and stay as they are. */
const runs = /^(?:[=@\t\r]|[+-](?![\d.,]*\d%?$|-*$))/;

/**
 * Cell text that no spreadsheet runs as a formula: an apostrophe goes in front of what would be.
 *
 * {@link unshieldFormula} gives the text back.
 *
 * @example
 * shieldFormula('=1+1') // "'=1+1"
 * shieldFormula('-13') // '-13'
 */
export function shieldFormula(text: string): string {
  return runs.test(text) || /^'+[=+\-@\t\r]/.test(text) ? `'${text}` : text;
}

/** The text behind an apostrophe that only keeps a spreadsheet from running it. */
export function unshieldFormula(text: string): string {
  return /^'+[=+\-@\t\r]/.test(text) ? text.slice(1) : text;
}
