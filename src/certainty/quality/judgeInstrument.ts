import { deriveOverall } from '../../extraction/deriveOverall.ts';
import {
  answersTo,
  comparativeMinorsItems,
  type JudgementTool,
  judgementItems,
} from '../../extraction/sheets/judgementsSheet.ts';
import {
  type ConcernReading,
  concernOfShare,
  concernOfWord,
  type ResolvedQualityOptions,
} from './concern.ts';
import { newcastleOttawaQuality, type Stars, starGroups } from './newcastleOttawa.ts';

/** What one instrument's answers amount to. */
export interface InstrumentReading {
  /** Items the study can be asked; overall and total are no items. */
  readonly asked: readonly string[];
  /** The instrument's own result by its own rule; undefined while items that matter are not judged. */
  readonly derived: string | undefined;
  readonly concern: ConcernReading;
  /** Sum of the judged items and the most the items asked allow, for instruments that add up. */
  readonly sum: { readonly points: number; readonly maximum: number } | undefined;
  /** How the reading came about, in one sentence. */
  readonly why: string;
}

/**
 * What do the answers to an instrument amount to, by its own rule and on the three steps?
 *
 * Items without an answer are not judged and never 0: a sum is then a range, and the study is read only where both ends
 * of the range stand on the same step.
 *
 * @param answers by item; an answer to `overall` counts in place of the derived one
 * @param comparative whether the study has more than one group
 * @example
 * judgeInstrument('MINORS', new Map([['clear aim', '2']]), false, resolveQualityOptions()).concern // 'not judged'
 */
export function judgeInstrument(
  tool: JudgementTool,
  answers: ReadonlyMap<string, string>,
  comparative: boolean,
  options: ResolvedQualityOptions,
): InstrumentReading {
  const asked = judgementItems[tool].items.filter(
    (item) =>
      item !== 'overall' &&
      (tool !== 'MINORS' || comparative || answers.has(item) || !comparativeMinorsItems.includes(item)),
  );
  if (tool === 'RoB 2' || tool === 'ROBINS-I') {
    const derived = deriveOverall(tool, answers);
    const counts = answers.get('overall') ?? derived;
    return {
      asked,
      derived,
      concern: counts === undefined ? 'not judged' : concernOfWord[tool]![counts]!,
      sum: undefined,
      why:
        counts === undefined
          ? `${openItems(asked, answers).length} of ${asked.length} domains are not judged.`
          : counts === derived
            ? `Overall ${counts}, the least favourable domain.`
            : `Overall ${counts} as typed.`,
    };
  }
  const [least, most] = bounds(tool, asked, answers);
  const maximum = asked.reduce((sum, item) => sum + mostOf(tool, item), 0);
  const open = openItems(asked, answers).length;
  const points = open === 0 ? `${least} of ${maximum} points` : `${least} to ${most} of ${maximum} points`;
  const unjudged = open === 0 ? '' : `, ${open} of ${asked.length} items not judged`;
  if (tool === 'Newcastle-Ottawa') {
    const worst = starsOf(answers, false);
    const best = starsOf(answers, true);
    const [low, high] = [worst, best].map((stars) =>
      newcastleOttawaQuality(stars, options.newcastleOttawaForm),
    );
    const derived = low === high && (open === 0 || low !== undefined) ? low : undefined;
    const stars = ({ selection, comparability, outcome }: Stars): string =>
      `${selection}, ${comparability} and ${outcome}`;
    const words = `Stars ${open === 0 ? '' : 'at least '}${stars(worst)}${open === 0 ? '' : `, at most ${stars(best)},`} of 4, 2 and 3${unjudged}`;
    return {
      asked,
      derived,
      concern: derived === undefined ? 'not judged' : concernOfWord[tool]![derived]!,
      sum: { points: least, maximum },
      why: derived === undefined ? `${words}: this conversion has no word for it.` : `${words}: ${derived}.`,
    };
  }
  const cuts = tool === 'MINORS' ? options.minorsCuts : options.colemanCuts;
  const [low, high] = [concernOfShare(least / maximum, cuts), concernOfShare(most / maximum, cuts)];
  return {
    asked,
    derived: open === 0 ? `${least} of ${maximum}` : undefined,
    concern: low === high && answers.size > 0 ? low : 'not judged',
    sum: { points: least, maximum },
    why: `${points}${unjudged}; our cuts are ${percent(cuts.lowFrom)} and ${percent(cuts.someFrom)} of the maximum.`,
  };
}

const percent = (share: number): string => `${Number((100 * share).toPrecision(4))} %`;

const mostOf = (tool: JudgementTool, item: string): number => Math.max(...answersTo(tool, item).map(Number));

const openItems = (asked: readonly string[], answers: ReadonlyMap<string, string>): readonly string[] =>
  asked.filter((item) => !answers.has(item));

/** The sum if every item nobody judged earned nothing, and if it earned all it can. */
function bounds(
  tool: JudgementTool,
  asked: readonly string[],
  answers: ReadonlyMap<string, string>,
): readonly [number, number] {
  let [least, most] = [0, 0];
  for (const item of asked) {
    const answer = answers.get(item);
    least += answer === undefined ? 0 : Number(answer);
    most += answer === undefined ? mostOf(tool, item) : Number(answer);
  }
  return [least, most];
}

function starsOf(answers: ReadonlyMap<string, string>, best: boolean): Stars {
  const count = (group: keyof Stars): number =>
    starGroups[group].reduce(
      (sum, item) => sum + Number(answers.get(item) ?? (best ? mostOf('Newcastle-Ottawa', item) : 0)),
      0,
    );
  return {
    selection: count('selection'),
    comparability: count('comparability'),
    outcome: count('outcome'),
  };
}
