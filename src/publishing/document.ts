import { CommandLineProblem, defaultFolder, readCommandLine } from './commandLine.ts';

// The command behind `npm run document`.
const help = `The evidence of a review as a document for a committee: Word, HTML and Markdown.

npm run document                              of ${defaultFolder}, written to out/demo/evidence/
npm run document -- data-extraction/mine      of your own folder, to out/mine/evidence/
npm run document -- data-extraction/mine --out papers   written somewhere else`;

try {
  const asked = readCommandLine(process.argv.slice(2));
  if (asked.task === 'help') {
    console.log(help);
  } else if (asked.task !== 'run') {
    throw new CommandLineProblem(`npm run document takes a folder and --out, not --${asked.task}`);
  } else {
    // Loaded here, so that help and a mistyped flag are answered at once.
    const { documentRun } = await import('./documentRun.ts');
    process.exitCode = await documentRun(asked);
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  if (error instanceof CommandLineProblem)
    console.error('npm run document -- --help shows what can be asked.');
  process.exitCode = 1;
}
