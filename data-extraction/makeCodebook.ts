// Makes codebook.md and template/ from the schemas: npm run codebook
// With --check it writes nothing and exits 1 when a file is not what the schemas say.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { stringify } from 'csv-stringify/sync';
import { codebook } from '../src/extraction/codebook.ts';
import { sheetTemplates } from '../src/extraction/template.ts';
import { printJson } from './printJson.ts';
import { templateProtocol } from './templateProtocol.ts';

/** The codebook and the template, by path within data-extraction. */
export function codebookFiles(): Readonly<Record<string, string>> {
  const files: Record<string, string> = {
    'codebook.md': codebook(),
    'template/protocol.json': printJson(templateProtocol),
  };
  for (const { file, headings, example } of sheetTemplates()) {
    files[`template/${file}`] = stringify([[...headings], [...example]]);
  }
  return files;
}

const here = fileURLToPath(import.meta.url);
if (process.argv[1] === here) {
  const folder = dirname(here);
  const stale = Object.entries(codebookFiles()).filter(([file, text]) => {
    const path = join(folder, file);
    return !existsSync(path) || readFileSync(path, 'utf8') !== text;
  });
  if (process.argv.includes('--check')) {
    for (const [file] of stale)
      console.error(`data-extraction/${file} is not what the schemas say: run npm run codebook`);
    if (stale.length > 0) process.exitCode = 1;
    else console.log('codebook and template are current');
  } else {
    mkdirSync(join(folder, 'template'), { recursive: true });
    for (const [file, text] of stale) writeFileSync(join(folder, file), text);
    console.log(
      stale.length === 0
        ? 'codebook and template were current'
        : `wrote ${stale.map(([file]) => file).join(', ')}`,
    );
  }
}
