import { palette } from './palette.ts';

/** The typeface of everything, and what stands in where a program lacks it. */
export const typeface = { name: 'Source Sans 3', fallbacks: ['Source Sans Pro', 'Arial'] } as const;

/** A typed document (Word): sizes in points, lengths in millimetres. */
export const documentStyle = {
  page: { name: 'A4', width: 210, height: 297, margin: 20 },
  titleSize: 18,
  headingSizes: [14, 12, 11],
  textSize: 10.5,
  tableSize: 9,
  noteSize: 8.5,
  lineSpacing: 1.25,
  ink: palette.ink,
  quiet: palette.quiet,
  rule: palette.hairline,
  headRule: palette.ink,
  accent: palette.comparison,
  notice: palette.notice,
} as const;

/** A slide, 16:9: sizes in points, lengths in inches. Nothing is set below `smallestSize`. */
export const slideStyle = {
  page: { width: 13.333, height: 7.5, margin: 0.6 },
  titleSize: 32,
  textSize: 22,
  tableSize: 20,
  smallestSize: 18,
  mostTableRows: 7,
  paper: palette.paper,
  ink: palette.ink,
  quiet: palette.quiet,
  rule: palette.hairline,
  accent: palette.comparison,
  notice: palette.notice,
} as const;
