import { parseArgs } from 'node:util';
import { defaultFolder, defaultOut } from '../commandLine.ts';
import { openReview } from '../openReview.ts';

const helpText = `tenosite live: the library in a page, to choose and question in a room.

npm run live                                  serve ${defaultFolder} and watch it
npm run live -- data-extraction/mine          the same for your own folder
npm run live:build                            write ${defaultOut}/live.html from ${defaultFolder}
npm run live:build -- data-extraction/mine    the same for your own folder

--out <file>     where the page is written (default ${defaultOut}/live.html)
--port <number>  where the page is served (default 5180, or the next that is free)
--help           this text`;

// The command behind `npm run live` and, with --build, `npm run live:build`.
try {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: {
      build: { type: 'boolean', default: false },
      out: { type: 'string', default: `${defaultOut}/live.html` },
      port: { type: 'string', default: '5180' },
      help: { type: 'boolean', default: false },
    },
  });
  const [folder = defaultFolder, second] = positionals;
  if (second !== undefined) throw new Error(`one folder at a time: both ${folder} and ${second} were given`);
  const port = Number(values.port);
  if (!(Number.isInteger(port) && port > 0 && port < 65536))
    throw new Error(`--port needs a whole number from 1 to 65535, received ${values.port}`);
  if (values.help) console.log(helpText);
  else if (values.build) process.exitCode = await buildCommand(folder, values.out);
  else await serveCommand(folder, port);
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  console.error('npm run live -- --help shows what can be asked.');
  process.exitCode = 1;
}

async function buildCommand(folder: string, out: string): Promise<0 | 1> {
  const { review, problemLines, errors } = await openReview(folder);
  for (const line of problemLines) console.error(line);
  if (review === undefined) {
    console.error(`${folder} cannot be used before its ${errors} errors are cured. Nothing was written.`);
    return 1;
  }
  // Loaded here, so that help and a mistyped folder are answered at once.
  const [{ readSource }, { writeLive }] = await Promise.all([
    import('./readSource.ts'),
    import('./buildLive.ts'),
  ]);
  const bytes = await writeLive(await readSource(folder), out);
  console.log(`${out}: ${Math.round(bytes / 1000)} kB, opens from disk and from e-mail, loads nothing.`);
  return 0;
}

async function serveCommand(folder: string, port: number): Promise<void> {
  const { serveLive } = await import('./serveLive.ts');
  const { address } = await serveLive(folder, { port });
  console.log(`${folder} is live at ${address} and follows what you save. Ctrl+C ends it.`);
}
