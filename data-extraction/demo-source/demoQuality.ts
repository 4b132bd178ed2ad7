import { judgementItems } from '../../src/extraction/sheets/judgementsSheet.ts';
import { demoRandom } from './demoRandom.ts';
import { type CsvRow, studyId } from './demoRows.ts';
import type { DemoStudy } from './demoStudies.ts';

/** Cohorts judged with ROBINS-I beside MINORS: the prospective ones. */
const robinsStudies = ['kestrelby-2014', 'ulvaskog-2017', 'jorvale-2019', 'rosavik-2023'];
/** Cohorts judged with the Newcastle-Ottawa scale beside MINORS. */
const ottawaStudies = [
  'palmora-2012',
  'sarnholm-2013',
  'corvine-2018',
  'galdara-2019',
  'nethershaw-2021',
  'oskarra-2022',
];
/** Series judged with the modified Coleman score beside MINORS; in the last one two items were not judged. */
const colemanStudies = ['brennik-2011', 'grauwald-2015', 'hvitness-2019', 'prismark-2022'];

const gravity = ['low', 'moderate'];

/**
 * Rows of judgements.csv beside those of `judgementRows`, invented: further instruments on some studies, and RoB 2 again
 * where a trial was judged otherwise for one outcome than for all.
 */
export function furtherJudgementRows(seed: number, studies: readonly DemoStudy[]): readonly CsvRow[] {
  return studies.flatMap((study) => {
    const id = studyId(study);
    const random = demoRandom(seed, `${id}/quality`);
    const row = (tool: string, item: string, judgement: string, rest: CsvRow = {}): CsvRow => ({
      study: id,
      tool,
      item,
      judgement,
      locator: 'methods',
      extractor: 'B',
      ...rest,
    });
    const rows: CsvRow[] = [];
    if (robinsStudies.includes(id)) {
      const domains = judgementItems['ROBINS-I'].items
        .slice(0, -1)
        .map((item) => row('ROBINS-I', item, random.pick(['low', 'low', 'moderate'])));
      const worst = gravity[Math.max(...domains.map((each) => gravity.indexOf(each.judgement ?? '')))]!;
      rows.push(...domains, row('ROBINS-I', 'overall', worst));
    }
    if (ottawaStudies.includes(id)) {
      const items = judgementItems['Newcastle-Ottawa'].items.map((item) =>
        row(
          'Newcastle-Ottawa',
          item,
          random.pick(item === 'comparability' ? ['0', '1', '1', '2'] : ['0', '1', '1', '1']),
        ),
      );
      const sum = items.reduce((stars, each) => stars + Number(each.judgement), 0);
      rows.push(...items, row('Newcastle-Ottawa', 'total', String(sum)));
    }
    if (colemanStudies.includes(id)) {
      const { items, answersOf } = judgementItems['modified Coleman'];
      const judged = id === colemanStudies.at(-1) ? items.slice(0, -2) : items;
      rows.push(
        ...judged.map((item) =>
          row('modified Coleman', item, item === 'type of study' ? '0' : random.pick(answersOf![item]!)),
        ),
      );
    }
    return [...rows, ...trialsByOutcome(id, row)];
  });
}

/** RoB 2 of one outcome: a revision is read from the chart, and hardly depends on who looks. */
function trialsByOutcome(
  id: string,
  row: (tool: string, item: string, judgement: string, rest: CsvRow) => CsvRow,
): readonly CsvRow[] {
  const changes = trialJudgements[id];
  if (changes === undefined) return [];
  return changes.map(([item, judgement, reason]) =>
    row('RoB 2', item, judgement, { outcome: 'revision', reason }),
  );
}

const trialJudgements: Readonly<Record<string, readonly (readonly [string, string, string])[]>> = {
  'belcastra-2018': [
    [
      'selection of the reported result',
      'some concerns',
      'revision was named in the registered plan, its time was not',
    ],
    ['overall', 'some concerns', 'for revision the reported result was the planned one'],
  ],
  'lindaro-2015': [
    ['missing outcome data', 'some concerns', 'a national register holds every reoperation'],
    ['overall', 'high', 'several shoulders were operated on abroad, where the register does not reach'],
  ],
  'stellamar-2024': [
    [
      'randomisation process',
      'some concerns',
      'the list was open, but groups are alike in age and tear size',
    ],
    ['selection of the reported result', 'low', 'revision was the registered main outcome'],
    ['overall', 'some concerns', 'the worst domain for revision'],
  ],
};
