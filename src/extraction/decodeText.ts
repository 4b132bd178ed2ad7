import type { Problem } from './problem.ts';

/** A file as text with line ends made `\n` and without byte order mark, or the reason it is none. */
export type DecodedText =
  | { readonly text: string; readonly problem?: never }
  | { readonly text?: never; readonly problem: Problem };

const startsWith = (bytes: Uint8Array, start: readonly number[]): boolean =>
  start.every((byte, index) => bytes[index] === byte);

const isUtf8 = (bytes: Uint8Array, mayBreakOff: boolean): boolean => {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: mayBreakOff });
    return true;
  } catch {
    return false;
  }
};

/** Index of the first byte that is not UTF-8, found by decoding ever smaller beginnings. */
function firstBadByte(bytes: Uint8Array): number {
  let good = 0;
  let bad = bytes.length + 1;
  while (bad - good > 1) {
    const middle = (good + bad) >> 1;
    if (isUtf8(bytes.subarray(0, middle), true)) good = middle;
    else bad = middle;
  }
  // A character that was begun and not finished belongs to what is bad.
  while (good > 0 && !isUtf8(bytes.subarray(0, good), false)) good -= 1;
  return good;
}

/**
 * What does the file say, as text?
 *
 * Accepts bytes (which must be UTF-8, with or without byte order mark) or text already decoded.
 * Never throws: bytes that are not UTF-8, and workbooks saved where a CSV file belongs, come back
 * as a {@link Problem}.
 */
export function decodeText(file: string, content: string | Uint8Array): DecodedText {
  if (typeof content === 'string') return { text: tidyLineEnds(content) };
  const problem = (value: string, line: number, column: number, cure: string): DecodedText => ({
    problem: { severity: 'error', file, line, column, value, expected: 'text in UTF-8', cure },
  });
  if (startsWith(content, [0x50, 0x4b, 0x03, 0x04])) {
    return problem('PK', 1, 1, 'This is a workbook or zip file: open it and save the sheet as "CSV UTF-8".');
  }
  if (startsWith(content, [0xff, 0xfe]) || startsWith(content, [0xfe, 0xff])) {
    return problem('UTF-16', 1, 1, 'Save the sheet again as "CSV UTF-8", not as "Unicode text".');
  }
  try {
    return { text: tidyLineEnds(new TextDecoder('utf-8', { fatal: true }).decode(content)) };
  } catch {
    const bad = firstBadByte(content);
    const before = tidyLineEnds(new TextDecoder('utf-8').decode(content.subarray(0, bad)));
    const lines = before.split('\n');
    return problem(
      `byte ${(content[bad] ?? 0).toString(16).toUpperCase().padStart(2, '0')}`,
      lines.length,
      (lines.at(-1) ?? '').length + 1,
      'Save the sheet again as "CSV UTF-8" (or, in a text editor, with encoding UTF-8).',
    );
  }
}

/** Windows and old Macintosh line ends become `\n`; the line and column of a cell stay the same. */
function tidyLineEnds(text: string): string {
  return text.replace(/^\ufeff/, '').replace(/\r\n?/g, '\n');
}
