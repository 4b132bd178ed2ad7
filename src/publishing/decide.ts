// The command behind `npm run decide`. Everything it can be asked is in decideRun.ts.
import { decideHelp, readDecideCommand, runDecide } from './decideRun.ts';

try {
  const command = readDecideCommand(process.argv.slice(2));
  if (command === undefined) console.log(decideHelp);
  else process.exitCode = await runDecide(command, { say: console.log, complain: console.error });
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  if (error instanceof RangeError) console.error('npm run decide -- --help shows what can be asked.');
  process.exitCode = 2;
}
