/** How bad a {@link Problem} is: an error stops the review from being used, a warning does not. */
export const severities = ['error', 'warning'] as const;
export type Severity = (typeof severities)[number];

/** One thing wrong in the extraction files, with its place and what to do about it. */
export interface Problem {
  readonly severity: Severity;
  /** File name within the review's folder. */
  readonly file: string;
  /** Line in the file, from 1, as a text editor counts (a quoted cell may span several lines). */
  readonly line: number;
  /**
   * Character within that line, from 1, where the cell starts: what an editor's "go to
   * line:column" expects (UTF-16 units, as editors count).
   */
  readonly column: number;
  /** Column heading or protocol key, where the problem belongs to one. */
  readonly heading?: string;
  /** What stands there now, as typed. */
  readonly value: string;
  /** What should stand there, in words that complete "expected …". */
  readonly expected: string;
  /** What to do, as a full sentence. */
  readonly cure: string;
}

const longestShown = 60;

/** The value on one line, with control and direction characters spelled out so that they cannot act. */
function showValue(value: string): string {
  const short = value.length > longestShown ? `${value.slice(0, longestShown)}…` : value;
  return JSON.stringify(short).replace(
    /[\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

/**
 * What is wrong, where, and what cures it, on one line?
 *
 * @example
 * formatProblem(problem)
 * // events.csv:14:7 error: events is "twelve"; expected a whole number. Type the digits: 12.
 */
export function formatProblem(problem: Problem): string {
  const subject = problem.heading === undefined ? '' : `${problem.heading} is `;
  const place = `${problem.file}:${problem.line}:${problem.column}`;
  return `${place} ${problem.severity}: ${subject}${showValue(problem.value)}; expected ${problem.expected}. ${problem.cure}`;
}

/** By file, then line, then column; errors before warnings at the same place. */
export function sortProblems(problems: readonly Problem[]): readonly Problem[] {
  const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
  return [...problems].sort(
    (a, b) =>
      byText(a.file, b.file) ||
      a.line - b.line ||
      a.column - b.column ||
      byText(a.severity, b.severity) ||
      byText(a.cure, b.cure),
  );
}
