import { palette } from './palette.ts';

/** What a page paints with: `warn` is the notice of invented data, `accent` links and marks of place. */
export interface PageColours {
  readonly paper: string;
  readonly tint: string;
  readonly ink: string;
  readonly quiet: string;
  readonly rule: string;
  readonly accent: string;
  readonly warn: string;
  readonly warnTint: string;
}

/**
 * The colours of pages by day and by night. Figures keep their own white paper in both, and print is always
 * the light set. Contrast figures stand in docs/design.md.
 */
export const pageColours: { readonly light: PageColours; readonly dark: PageColours } = {
  light: {
    paper: palette.paper,
    tint: '#f3f4f6',
    ink: palette.ink,
    quiet: palette.quiet,
    rule: palette.hairline,
    accent: palette.comparison,
    warn: palette.notice,
    warnTint: '#fbf1f2',
  },
  dark: {
    paper: '#15181d',
    tint: '#1e232b',
    ink: '#e9ebef',
    quiet: '#b3bbc7',
    rule: '#434b58',
    accent: '#8fc7df',
    warn: '#f2a9b1',
    warnTint: '#2c1a1e',
  },
};

const declarations = (colours: PageColours): string =>
  Object.entries(colours)
    .map(([name, colour]) => `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}:${colour}`)
    .join(';');

/**
 * The colours as custom properties (`--ink`, `--warn-tint`) for a style sheet: light, and dark on a screen
 * whose reader prefers it. Paper never turns dark.
 */
export const pageColourCss = (): string =>
  `:root{color-scheme:light;${declarations(pageColours.light)}}\n` +
  `@media screen and (prefers-color-scheme:dark){:root{color-scheme:dark;${declarations(pageColours.dark)}}}`;
