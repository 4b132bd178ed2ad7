import { distance } from 'fastest-levenshtein';
import { type PooledSite, pooledSites } from '../../extraction/site.ts';
import { CommandLineProblem, defaultFolder, defaultOut } from '../commandLine.ts';
import { outFolderOf } from '../writtenFiles.ts';

/** What `npm run talk` was asked to do. */
export interface TalkCommandLine {
  readonly folder: string;
  readonly out: string;
  readonly help: boolean;
  readonly outcome: string | undefined;
  readonly compare: readonly [PooledSite, PooledSite] | undefined;
  readonly claim: string | undefined;
  /** One outcome as one slide, in place of a talk. */
  readonly slide: string | undefined;
}

const valued = ['--out', '--outcome', '--compare', '--claim', '--slide'] as const;
type Valued = (typeof valued)[number];
const known = [...valued, '--help'];
const shapes: Readonly<Record<Valued, string>> = {
  '--out': 'a folder, as in --out pages/mine',
  '--outcome': 'an outcome of the protocol, as in --outcome cosmetic-deformity',
  '--compare': 'two sites, as in --compare subpectoral,tenotomy',
  '--claim':
    'a sentence in quotation marks, as in --claim "Tenotomy deforms twice as often as subpectoral tenodesis"',
  '--slide': 'an outcome of the protocol, as in --slide cosmetic-deformity',
};

export const talkHelp = `tenosite: a review as a talk, with native text and tables, 16:9.

npm run talk                                       the demo: out/demo/talk.pptx, and each slide as SVG and PNG in out/demo/talk/
npm run talk -- data-extraction/mine               the same for your own folder, to out/mine/
npm run talk -- data-extraction/mine --outcome revision --compare suprapectoral,subpectoral
npm run talk -- data-extraction/mine --claim "Tenotomy deforms twice as often as subpectoral tenodesis"
npm run talk -- data-extraction/mine --slide cosmetic-deformity   the answer on one slide

--outcome <id>       one outcome; without it every outcome counted as events
--compare <a>,<b>    two of ${pooledSites.join(', ')}; without it the pair most studies compare
--claim "<words>"    check a sentence you want to say
--slide <id>         one slide only: ${defaultOut}/slide-<id>.pptx, .svg and .png
--out <folder>       where to write (default ${defaultOut})
--help               this text`;

/**
 * Reads the words after `npm run talk --`.
 *
 * @throws {CommandLineProblem} for an unknown flag, a flag without its value, two folders, or sites that are none
 */
export function readTalkCommandLine(words: readonly string[]): TalkCommandLine {
  const values = new Map<Valued, string>();
  let folder: string | undefined;
  let help = false;
  const waiting = [...words];
  for (let word = waiting.shift(); word !== undefined; word = waiting.shift()) {
    if (word === '--help') {
      help = true;
      continue;
    }
    const flag = valued.find((each) => word === each || word!.startsWith(`${each}=`));
    if (flag !== undefined) {
      const value = word === flag ? waiting.shift() : word.slice(flag.length + 1);
      if (value === undefined || value.trim() === '' || value.startsWith('--'))
        throw new CommandLineProblem(`${flag} needs ${shapes[flag]}`);
      if (values.has(flag)) throw new CommandLineProblem(`${flag} was given twice`);
      values.set(flag, value);
    } else if (word.startsWith('-')) throw new CommandLineProblem(unknownFlag(word));
    else if (folder === undefined) folder = word;
    else throw new CommandLineProblem(`one folder at a time: both ${folder} and ${word} were given`);
  }
  const slide = values.get('--slide');
  const clash = (['--outcome', '--compare', '--claim'] as const).find((flag) => values.has(flag));
  if (slide !== undefined && clash !== undefined)
    throw new CommandLineProblem(`--slide and ${clash} cannot go together`);
  return {
    folder: folder ?? defaultFolder,
    out: values.get('--out') ?? outFolderOf(folder ?? defaultFolder),
    help,
    outcome: values.get('--outcome'),
    compare: readPair(values.get('--compare')),
    claim: values.get('--claim'),
    slide,
  };
}

function readPair(text: string | undefined): readonly [PooledSite, PooledSite] | undefined {
  if (text === undefined) return undefined;
  const sites = text.split(',').map((site) => site.trim());
  const unknown = sites.find((site) => !(pooledSites as readonly string[]).includes(site));
  if (unknown !== undefined)
    throw new CommandLineProblem(
      `--compare: ${unknown === '' ? 'a site is missing' : `${unknown} is no site`}; the sites are ${pooledSites.join(', ')}`,
    );
  const [one, other, third] = sites as PooledSite[];
  if (one === undefined || other === undefined || third !== undefined || one === other)
    throw new CommandLineProblem('--compare needs two different sites, as in --compare subpectoral,tenotomy');
  return [one, other];
}

function unknownFlag(word: string): string {
  const flag = word.split('=')[0]!;
  const nearest = [...known].sort((a, b) => distance(flag, a) - distance(flag, b))[0] ?? '';
  const guess = distance(flag, nearest) <= 3 ? ` Did you mean ${nearest}?` : '';
  return `unknown flag ${flag}.${guess} Known flags: ${known.join(', ')}`;
}
