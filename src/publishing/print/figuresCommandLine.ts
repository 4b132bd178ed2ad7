import { distance } from 'fastest-levenshtein';
import { figureWidths } from '../../figures/pageSize.ts';
import { CommandLineProblem, defaultFolder, defaultOut } from '../commandLine.ts';
import { outFolderOf } from '../writtenFiles.ts';
import { type PrintFigureName, printFigureNames } from './printFigure.ts';

export const printFormats = ['svg', 'pdf', 'png'] as const;
export type PrintFormat = (typeof printFormats)[number];
export type PrintWidth = (typeof figureWidths)[number];

/** Dots per inch a journal may ask for. */
export const resolutions = [150, 300, 500, 600, 1000, 1200] as const;

/** What `npm run figures` was asked to do. */
export interface FiguresCommandLine {
  readonly task: 'run' | 'help';
  readonly folder: string;
  readonly out: string;
  readonly widths: readonly PrintWidth[];
  readonly dotsPerInch: number;
  readonly formats: readonly PrintFormat[];
  readonly outcome: string | undefined;
  readonly only: PrintFigureName | undefined;
}

const defaults = { widths: ['190mm'], dotsPerInch: 300, formats: printFormats } as const;
const flags = ['--width', '--dpi', '--format', '--outcome', '--only', '--out', '--help'] as const;

export const figuresHelp = `tenosite: the figures of a paper, at the size and resolution a journal asks for.

npm run figures                                   the demo, 190 mm wide, SVG, PDF and PNG at 300 dpi
npm run figures -- data-extraction/mine --width 90mm --dpi 1000 --format pdf,png
npm run figures -- data-extraction/mine --outcome revision --only forest

--width    ${figureWidths.join(', ')}, or both with a comma between (default ${defaults.widths.join(',')})
--dpi      ${resolutions.join(', ')} (PNG only; default ${defaults.dotsPerInch})
--format   ${printFormats.join(', ')}, several with commas (default all)
--outcome  id of one outcome in protocol.json (default all that are counted as events)
--only     ${printFigureNames.join(', ')} (default all)
--out      where the files go (default ${defaultOut}/figures); figures of an earlier run make way, other files stay
--help     this text`;

/**
 * Reads the words after `npm run figures --`.
 *
 * @throws {CommandLineProblem} for a flag or a value it does not know, naming those it does
 */
export function readFiguresCommandLine(words: readonly string[]): FiguresCommandLine {
  const given = new Map<string, string>();
  let folder: string | undefined;
  const waiting = [...words];
  for (let word = waiting.shift(); word !== undefined; word = waiting.shift()) {
    if (!word.startsWith('-')) {
      if (folder !== undefined)
        throw new CommandLineProblem(`one folder at a time: both ${folder} and ${word} were given`);
      folder = word;
      continue;
    }
    const [flag = '', ...inline] = word.split('=');
    if (!(flags as readonly string[]).includes(flag)) throw new CommandLineProblem(unknownFlag(flag));
    if (given.has(flag)) throw new CommandLineProblem(`${flag} was given twice`);
    const value = flag === '--help' ? '' : inline.length > 0 ? inline.join('=') : waiting.shift();
    if (value === undefined || (flag !== '--help' && (value === '' || value.startsWith('-'))))
      throw new CommandLineProblem(`${flag} needs a value, as in ${flag} ${examples[flag] ?? ''}`);
    given.set(flag, value);
  }
  const dpi = given.get('--dpi');
  const only = given.get('--only');
  return {
    task: given.has('--help') ? 'help' : 'run',
    folder: folder ?? defaultFolder,
    out: given.get('--out') ?? `${outFolderOf(folder ?? defaultFolder)}/figures`,
    widths: listed('--width', given.get('--width'), figureWidths) ?? defaults.widths,
    dotsPerInch:
      dpi === undefined ? defaults.dotsPerInch : Number(chosen('--dpi', dpi, resolutions.map(String))),
    formats: listed('--format', given.get('--format'), printFormats) ?? defaults.formats,
    outcome: given.get('--outcome'),
    only: only === undefined ? undefined : chosen('--only', only, printFigureNames),
  };
}

const examples: Readonly<Record<string, string>> = {
  '--width': '90mm',
  '--dpi': '500',
  '--format': 'pdf,png',
  '--outcome': 'revision',
  '--only': 'forest',
  '--out': 'pages/figures',
};

function chosen<T extends string>(flag: string, value: string, allowed: readonly T[]): T {
  const found = allowed.find((choice) => choice === value);
  if (found === undefined)
    throw new CommandLineProblem(`${flag} must be one of ${allowed.join(', ')}, received ${value}`);
  return found;
}

function listed<T extends string>(
  flag: string,
  value: string | undefined,
  allowed: readonly T[],
): readonly T[] | undefined {
  if (value === undefined) return undefined;
  return [...new Set(value.split(',').map((part) => chosen(flag, part.trim(), allowed)))];
}

function unknownFlag(flag: string): string {
  const nearest = [...flags].sort((a, b) => distance(flag, a) - distance(flag, b))[0] ?? '';
  const guess = distance(flag, nearest) <= 3 ? ` Did you mean ${nearest}?` : '';
  return `unknown flag ${flag}.${guess} Known flags: ${flags.join(', ')}`;
}
