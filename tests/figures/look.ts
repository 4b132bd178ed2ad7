// Renders pictures to look at: npm run look -- <folder>
import { mkdirSync, writeFileSync } from 'node:fs';
import { renderPng } from '../../src/publishing/renderPng.ts';
import { pictures } from './pictures.ts';

const folder = process.argv[2] ?? 'out/figures';
mkdirSync(folder, { recursive: true });
for (const [name, draw] of Object.entries(pictures)) {
  if (process.argv[3] !== undefined && !name.includes(process.argv[3])) continue;
  writeFileSync(`${folder}/${name}.png`, renderPng(draw(), { dotsPerInch: 200 }));
}
