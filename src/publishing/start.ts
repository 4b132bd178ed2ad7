import { CommandLineProblem, helpText, readCommandLine } from './commandLine.ts';

// The command behind `npm start`. Everything it can be asked is in commandLine.ts.
Error.stackTraceLimit = 50;
try {
  const asked = readCommandLine(process.argv.slice(2));
  if (asked.task === 'help') {
    console.log(helpText);
  } else {
    // Loaded here, so that help and a mistyped flag are answered at once.
    const { startRun } = await import('./startRun.ts');
    process.exitCode = await startRun(asked);
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  if (error instanceof CommandLineProblem) console.error('npm start -- --help shows what can be asked.');
  process.exitCode = 1;
}
