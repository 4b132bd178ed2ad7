import { basename, dirname } from 'node:path';
import { openReview } from '../openReview.ts';
import { recordProduct } from '../products.ts';
import { keptLines, replaceProduct } from '../writeFiles.ts';
import { liveHelpText, readLiveCommandLine } from './liveCommandLine.ts';

// The command behind `npm run live` and, with --build, `npm run live:build`.
try {
  const { task, folder, out, port } = readLiveCommandLine(process.argv.slice(2));
  if (task === 'help') console.log(liveHelpText);
  else if (task === 'build') process.exitCode = await buildCommand(folder, out);
  else await serveCommand(folder, port);
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  console.error('npm run live -- --help shows what can be asked.');
  process.exitCode = 1;
}

async function buildCommand(folder: string, out: string): Promise<0 | 1> {
  const { review, fingerprint, problemLines, errors } = await openReview(folder);
  for (const line of problemLines) console.error(line);
  if (review === undefined) {
    console.error(`${folder} cannot be used before its ${errors} errors are cured. Nothing was written.`);
    return 1;
  }
  // Loaded here, so that help and a mistyped folder are answered at once.
  const [{ readSource }, { buildLive }] = await Promise.all([
    import('./readSource.ts'),
    import('./buildLive.ts'),
  ]);
  const source = await readSource(folder);
  const html = await buildLive(source);
  const [pages, name] = [dirname(out), basename(out)];
  const kept = replaceProduct(pages, [{ path: name, content: html }], { by: name, review: folder });
  if (name === 'live.html') recordProduct(pages, 'live', fingerprint);
  for (const line of keptLines(pages, kept)) console.log(line);
  console.log(
    `${out}: ${Math.round(Buffer.byteLength(html) / 1000)} kB, opens from disk and from e-mail, loads nothing.`,
  );
  return 0;
}

async function serveCommand(folder: string, port: number): Promise<void> {
  const { serveLive } = await import('./serveLive.ts');
  const { address } = await serveLive(folder, { port });
  console.log(`${folder} is live at ${address} and follows what you save. Ctrl+C ends it.`);
}
