import { parseArgs } from 'node:util';
import { defaultFolder, defaultOut } from '../commandLine.ts';
import { outFolderOf } from '../writtenFiles.ts';

/** What `npm run live` or `npm run live:build` was asked to do. */
export interface LiveCommandLine {
  readonly task: 'serve' | 'build' | 'help';
  readonly folder: string;
  readonly out: string;
  readonly port: number;
}

export const liveHelpText = `tenosite live: the library in a page, to choose and question in a room.

npm run live                                  serve ${defaultFolder} and watch it
npm run live -- data-extraction/mine          the same for your own folder
npm run live:build                            write out/demo/live.html from ${defaultFolder}
npm run live:build -- data-extraction/mine    the same for your own folder, to out/mine/

--out <file>     where the page is written (default ${defaultOut}/live.html)
--port <number>  where the page is served (default 5180, or the next that is free)
--help           this text`;

/**
 * Reads the words after `npm run live --`.
 *
 * @throws for an unknown flag, a second folder or an impossible port, in a sentence for the person who typed it
 */
export function readLiveCommandLine(words: readonly string[]): LiveCommandLine {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: {
      build: { type: 'boolean', default: false },
      out: { type: 'string' },
      port: { type: 'string', default: '5180' },
      help: { type: 'boolean', default: false },
    },
  });
  const [folder = defaultFolder, second] = positionals;
  if (second !== undefined) throw new Error(`one folder at a time: both ${folder} and ${second} were given`);
  const out = values.out ?? `${outFolderOf(folder)}/live.html`;
  const port = Number(values.port);
  if (!(Number.isInteger(port) && port > 0 && port < 65536))
    throw new Error(`--port needs a whole number from 1 to 65535, received ${values.port}`);
  return { task: values.help ? 'help' : values.build ? 'build' : 'serve', folder, out, port };
}
