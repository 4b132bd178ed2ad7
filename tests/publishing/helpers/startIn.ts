// A run of other notebooks than the project's own: node --import tsx startIn.ts <notebooks> <companions> <words…>
import { readCommandLine } from '../../../src/publishing/commandLine.ts';
import { startRun } from '../../../src/publishing/startRun.ts';

const [notebooks = '', companions = '', ...words] = process.argv.slice(2);
process.exitCode = await startRun(readCommandLine(words), { notebooks, companions });
