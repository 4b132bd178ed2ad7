import { CommandLineProblem } from '../commandLine.ts';
import { figuresHelp, readFiguresCommandLine } from './figuresCommandLine.ts';

// The command behind `npm run figures`. Everything it can be asked is in figuresCommandLine.ts.
try {
  const asked = readFiguresCommandLine(process.argv.slice(2));
  if (asked.task === 'help') {
    console.log(figuresHelp);
  } else {
    const { figuresRun } = await import('./figuresRun.ts');
    process.exitCode = await figuresRun(asked);
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  if (error instanceof CommandLineProblem)
    console.error('npm run figures -- --help shows what can be asked.');
  process.exitCode = 1;
}
