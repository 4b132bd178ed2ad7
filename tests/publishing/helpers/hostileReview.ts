import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { projectRoot } from './runScript.ts';

/** Text that would act if a page took it for HTML, Markdown or a spreadsheet for a formula. */
export const hostileTexts = {
  label: '<img src=x onerror=document.title="taken">[x](javascript:alert(1))|**b**',
  locator: '=HYPERLINK("http://example.invalid","p. 3")',
  title: 'Review </title><script>document.title="taken"</script>',
  notice: '<b>bold</b> & "quoted"',
} as const;

/** The demo with hostile text in the places a person or a paper could bring it in. */
export function writeHostileReview(folder: string): void {
  cpSync(join(projectRoot, 'data-extraction/demo'), folder, { recursive: true });
  // The protocol names the version before it, which lies beside it.
  cpSync(join(projectRoot, 'data-extraction/demo-2025'), join(folder, '../demo-2025'), { recursive: true });
  const quoted = (text: string) => `"${text.replaceAll('"', '""')}"`;
  change(join(folder, 'studies.csv'), (text) =>
    text.replace(',Norholt 2009,', `,${quoted(hostileTexts.label)},`),
  );
  change(join(folder, 'events.csv'), (text) =>
    text.replaceAll(/,table 4,/g, `,${quoted(hostileTexts.locator)},`),
  );
  change(join(folder, 'protocol.json'), (text) => {
    const protocol: Record<string, unknown> = JSON.parse(text);
    return JSON.stringify({ ...protocol, title: hostileTexts.title, notice: hostileTexts.notice });
  });
}

function change(path: string, edit: (text: string) => string): void {
  const text = readFileSync(path, 'utf8');
  const edited = edit(text);
  if (edited === text) throw new Error(`${path}: nothing to change, so the test would test nothing`);
  writeFileSync(path, edited);
}
