import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { markdownTable } from 'markdown-table';
import type { Mutant } from './makeMutants.ts';
import type { Outcome } from './mutantSwitch.ts';

/** A mutant and what came of it. */
export interface Tried extends Mutant {
  readonly outcome: Outcome;
  readonly by?: string;
}

/** A mutant that would never end is noticed, too. */
export const wasKilled = ({ outcome }: Tried): boolean => outcome === 'killed' || outcome === 'endless';

/** Killed, endless, survived, not reached or undecided, and the share killed, by file and in all. */
export function tableOfScores(results: readonly Tried[]): string[][] {
  const row = (name: string, of: readonly Tried[]): string[] => {
    const count = (...outcomes: readonly Outcome[]): string =>
      String(of.filter(({ outcome }) => outcomes.includes(outcome)).length);
    return [
      name,
      count('killed'),
      count('endless'),
      count('survived'),
      count('not reached', 'undecided'),
      of.length === 0 ? '' : `${((100 * of.filter(wasKilled).length) / of.length).toFixed(1)} %`,
    ];
  };
  const files = [...new Set(results.map(({ file }) => file))];
  return [
    ['File', 'Killed', 'Would not end', 'Survived', 'Not reached or not decided', 'Score'],
    ...files.map((file) =>
      row(
        file,
        results.filter((each) => each.file === file),
      ),
    ),
    row('All', results),
  ];
}

const code = (text: string): string => `\`${text.replaceAll('`', "'").slice(0, 120)}\``;
const cell = (text: string): string => text.replaceAll('|', '\\|');

const introduction = `# Mutants: which rules a test holds

A mutant is the code with one small thing wrong: a border taken in or left out, a condition that is always or never true,
a sum that has become a difference, a number of a rule that is another one, a filter or a statement that is gone, a word
given out that is empty. A test that holds the rule fails. The mutants of answers, certainty, verdicts and cautions are
made from the files that \`tests/mutants/mutants.json\` lists, and tried with the tests of the stages before figures and
publishing: our own pictures and pages hold no rule.

\`\`\`sh
npm run mutants                                         # all of them: take two cores and an hour, or shards
npm run mutants -- --sample 200 --seed 7                # some, drawn from a seed
npm run mutants -- --files src/certainty/claims         # one folder or file, or several with commas
npm run mutants -- --shard 1/4                          # a quarter of them
npm run mutants -- --limit 20 --near 4                  # seconds for one mutant; test files for one source file
npm run mutants -- --docs                               # and rewrite this page
\`\`\`

All mutants of a file sleep in it at once, each behind a question; the tests run once with all asleep, which tells who
meets whom, and then each mutant is woken alone and tried with the tests that meet it, the shortest first. What runs when
a file is loaded is tried with the file loaded anew. Tests that fail without any mutant are named and not asked. One that would run for ever counts as killed. A mutant that changes
nothing anybody can see is listed in \`tests/mutants/equivalent.json\` with the reason, by its text and not its line.
`;

/** The page about mutants: score by file, who survived, and who changes nothing and why. */
export function writeSurvivors(
  root: string,
  results: readonly Tried[],
  equivalent: readonly (Mutant & { readonly why: string })[],
): void {
  const line = ({ file, within, kind, from, to }: Mutant): string[] =>
    [file.replace(/^src\//, ''), within, kind, code(from), code(to)].map(cell);
  const survivors = results.filter((each) => !wasKilled(each));
  const text = [
    introduction,
    '## Score\n',
    markdownTable(tableOfScores(results), { align: ['l', 'r', 'r', 'r', 'r', 'r'] }),
    `\n${equivalent.length} mutants that change nothing are not among them.\n`,
    '## Survivors\n',
    survivors.length === 0
      ? 'None.'
      : markdownTable([
          ['File', 'In', 'Kind', 'From', 'To', 'Outcome'],
          ...survivors.map((each) => [...line(each), each.outcome]),
        ]),
    '\n## Mutants that change nothing\n',
    equivalent.length === 0
      ? 'None.'
      : markdownTable([
          ['File', 'In', 'Kind', 'From', 'To', 'Why'],
          ...equivalent.map((each) => [...line(each), cell(each.why)]),
        ]),
  ];
  writeFileSync(join(root, 'docs', 'mutants.md'), `${text.join('\n')}\n`);
}
