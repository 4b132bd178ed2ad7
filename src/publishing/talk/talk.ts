import { CommandLineProblem } from '../commandLine.ts';
import { readTalkCommandLine, talkHelp } from './talkCommandLine.ts';

// The command behind `npm run talk`. Everything it can be asked is in talkCommandLine.ts.
try {
  const asked = readTalkCommandLine(process.argv.slice(2));
  if (asked.help) {
    console.log(talkHelp);
  } else {
    const { runTalk } = await import('./runTalk.ts');
    process.exitCode = await runTalk(asked);
  }
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  if (error instanceof CommandLineProblem) console.error('npm run talk -- --help shows what can be asked.');
  process.exitCode = 1;
}
