// The design sheet against the values in code: whoever changes one is told to change the other.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { contrastRatio } from '../../src/figures/contrast.ts';
import { documentStyle, slideStyle, typeface } from '../../src/figures/mediaStyles.ts';
import { pageColourCss, pageColours } from '../../src/figures/pageColours.ts';
import { pageSize } from '../../src/figures/pageSize.ts';
import { palette } from '../../src/figures/palette.ts';

const sheet = readFileSync(new URL('../../docs/design.md', import.meta.url), 'utf8');
const style = readFileSync(new URL('../../src/publishing/page.css', import.meta.url), 'utf8');
/** Cells of the first row that starts so. */
const row = (start: string): readonly string[] => {
  const line = sheet.split('\n').find((text) => text.startsWith(`| ${start}`));
  if (line === undefined) throw new Error(`docs/design.md has no row "${start}"`);
  return line
    .slice(1, -1)
    .split('|')
    .map((cell) => cell.trim());
};
const { light, dark } = pageColours;

describe('type of figures', () => {
  it('is the size the sheet prints, at both widths', () => {
    const sizes = [pageSize('190mm'), pageSize('90mm')];
    for (const [start, read] of [
      ['title, bold', 'titleSize'],
      ['site or outcome, bold', 'headingSize'],
      ['rows', 'textSize'],
      ['headings, notes, ticks', 'noteSize'],
    ] as const)
      expect(row(start).slice(1)).toEqual(sizes.map((size) => `${size[read]} pt`));
  });
});

describe('colours of pages', () => {
  it.each([
    ['ink', 'ink'],
    ['quiet text |', 'quiet'],
    ['accent:', 'accent'],
    ['notice (invented data) | `#7a2230` | 10.00 | 9.09', 'warn'],
  ] as const)('%s: printed with its contrast by day and by night', (_, name) => {
    const cells = [light, dark]
      .map((set) =>
        [
          `\`${set[name]}\``,
          contrastRatio(set[name], set.paper).toFixed(2),
          contrastRatio(set[name], set.tint).toFixed(2),
        ].join(' | '),
      )
      .join(' | ');
    expect(sheet).toContain(`| ${cells} |`);
  });

  it('the grounds and the rule stand in the sheet', () => {
    for (const [start, name] of [
      ['tint: cautions', 'tint'],
      ['tint of the notice', 'warnTint'],
      ['rule:', 'rule'],
    ] as const)
      for (const set of [light, dark]) expect(row(start)).toContain(`\`${set[name]}\``);
    expect(sheet).toContain(`| paper | \`${light.paper}\` | | | \`${dark.paper}\` | | |`);
  });

  it('text reaches 4.5 to 1 on every ground it can stand on, light and dark (WCAG 2.2, 1.4.3)', () => {
    for (const set of [light, dark])
      for (const text of [set.ink, set.quiet, set.accent, set.warn])
        for (const ground of [set.paper, set.tint, set.warnTint])
          expect(contrastRatio(text, ground), `${text} on ${ground}`).toBeGreaterThanOrEqual(4.5);
  });

  it('by day they are those of the figures', () => {
    expect([light.paper, light.ink, light.quiet, light.rule, light.accent, light.warn]).toEqual([
      palette.paper,
      palette.ink,
      palette.quiet,
      palette.hairline,
      palette.comparison,
      palette.notice,
    ]);
  });

  it('turn dark on screens only, and the style sheet holds no other colour than the paper of figures', () => {
    const css = pageColourCss();
    expect(css).toContain('@media screen and (prefers-color-scheme:dark){:root{color-scheme:dark;');
    for (const name of [...style.matchAll(/var\(--([a-z-]+)\)/g)].map((match) => match[1]))
      expect(css.split(`--${name}:`).length - 1, name).toBe(2);
    expect([...style.matchAll(/#[0-9a-f]{3,8}\b/g)].map(([colour]) => colour)).toEqual(['#fff', '#fff']);
  });

  it('body text and headings are the size the sheet says', () => {
    expect(sheet).toContain('Body text is 17 px on a line of 1.55, headings 32, 22 and 18 px');
    expect(style).toContain('font: 400 1.0625rem/1.55');
    for (const size of ['2rem', '1.4rem', '1.12rem']) expect(style).toContain(`font-size: ${size};`);
  });
});

describe('documents and slides', () => {
  it('are the sizes the sheet prints', () => {
    const { page, headingSizes } = documentStyle;
    expect(sheet).toContain(`typed document (${page.name}, margins ${page.margin} mm)`);
    expect(sheet).toContain(
      `slide (${slideStyle.page.width} by ${slideStyle.page.height} in, margins ${slideStyle.page.margin} in)`,
    );
    expect(sheet).toContain(`| title | ${documentStyle.titleSize} pt | ${slideStyle.titleSize} pt |`);
    expect(row('headings |')[1]).toBe(`${headingSizes.join(', ')} pt`);
    expect(row('text |').slice(1)).toEqual([
      `${documentStyle.textSize} pt, lines ${documentStyle.lineSpacing} apart`,
      `${slideStyle.textSize} pt`,
    ]);
    expect(row('tables')[1]).toMatch(new RegExp(`^${documentStyle.tableSize} pt;`));
    expect(row('tables')[2]).toBe(`${slideStyle.tableSize} pt, at most ${slideStyle.mostTableRows} rows`);
    expect(row('notes')[1]).toBe(`${documentStyle.noteSize} pt, quiet`);
    expect(row('notes')[2]).toBe(`${slideStyle.smallestSize} pt, the smallest`);
    expect(sheet).toContain(
      `Documents and pictures of slides name ${typeface.name} and fall back on ${typeface.fallbacks.join(', then ')}`,
    );
  });

  it('nothing on a slide is below its smallest size', () => {
    for (const size of [slideStyle.titleSize, slideStyle.textSize, slideStyle.tableSize])
      expect(size).toBeGreaterThanOrEqual(slideStyle.smallestSize);
  });
});
