// Pictures as committed. UPDATE_FIGURES=1 rewrites them; a picture that changed is written beside the old one.
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { pictures } from './pictures.ts';

const folder = fileURLToPath(new URL('./regression/', import.meta.url));
const update = process.env.UPDATE_FIGURES === '1';

describe('pictures as committed', () => {
  it.each(Object.entries(pictures))('%s', (name, draw) => {
    const file = `${folder}${name}.svg`;
    const changed = `${folder}${name}-changed.svg`;
    const svg = draw();
    if (update) writeFileSync(file, svg);
    const same = existsSync(file) && readFileSync(file, 'utf8') === svg;
    if (same) rmSync(changed, { force: true });
    else writeFileSync(changed, svg);
    expect(same, `${file} differs; the new picture is ${changed} (UPDATE_FIGURES=1 accepts it)`).toBe(true);
  });

  it('holds no picture that is no longer drawn', () => {
    const committed = readdirSync(folder).filter((file) => !file.endsWith('-changed.svg'));
    expect(committed.sort()).toEqual(
      Object.keys(pictures)
        .map((name) => `${name}.svg`)
        .sort(),
    );
  });

  it('draws the same picture twice', () => {
    for (const draw of Object.values(pictures)) expect(draw()).toBe(draw());
  });
});
