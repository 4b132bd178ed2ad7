// The command behind `npm run agreement`. Everything it can be asked is in agreementRun.ts.
import { agreementHelp, readAgreementCommand, runAgreement } from './agreementRun.ts';

try {
  const command = readAgreementCommand(process.argv.slice(2));
  if (command === undefined) console.log(agreementHelp);
  else process.exitCode = runAgreement(command, { say: console.log, complain: console.error });
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  if (error instanceof RangeError) console.error('npm run agreement -- --help shows what can be asked.');
  process.exitCode = 2;
}
