import { CommandLineProblem } from '../commandLine.ts';
import { changesHelp, readChangesCommandLine } from './changesCommandLine.ts';

// The command behind `npm run changes`. Everything it can be asked is in changesCommandLine.ts.
try {
  const asked = readChangesCommandLine(process.argv.slice(2));
  if (asked.help) {
    console.log(changesHelp);
  } else {
    const { runChanges } = await import('./runChanges.ts');
    process.exitCode = await runChanges(asked);
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  if (error instanceof CommandLineProblem)
    console.error('npm run changes -- --help shows what can be asked.');
  process.exitCode = 1;
}
