import type { ChoicesSummary } from '../robustness/choices/summariseChoices.ts';
import { signedFixed } from '../wording/words.ts';
import { type Table, table } from './table.ts';

const points = (value: number): string => signedFixed(100 * value, 1);
const share = (value: number): string =>
  value > 0 && value < 0.005
    ? 'under 1 %'
    : value < 1 && value > 0.995
      ? 'over 99 %'
      : `${Math.round(100 * value)} %`;

/** What share of the analyses supports each conclusion. */
export function conclusionsTable(
  summaries: readonly ChoicesSummary[],
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'What the analyses conclude',
    columns: [
      { key: 'question', heading: 'Question' },
      { key: 'conclusion', heading: 'Conclusion' },
      { key: 'analyses', heading: 'Analyses', align: 'right' },
      { key: 'share', heading: 'Share', align: 'right', shownIn: 'page' },
      { key: 'distinct', heading: 'Counting the same arms once', align: 'right', shownIn: 'page' },
      { key: 'protocol', heading: "Protocol's own" },
      { key: 'share_of_all', heading: 'share_of_all', shownIn: 'file' },
      { key: 'share_of_distinct', heading: 'share_of_distinct', shownIn: 'file' },
    ],
    rows: summaries.flatMap(({ question, shares }) =>
      shares
        .filter(({ analyses, protocol }) => analyses > 0 || protocol)
        .map((each) => ({
          question,
          conclusion: each.conclusion,
          analyses: each.analyses,
          share: share(each.share),
          distinct: share(each.shareOfDistinct),
          protocol: each.protocol ? 'yes' : '',
          share_of_all: each.share,
          share_of_distinct: each.shareOfDistinct,
        })),
    ),
    notes: ['A share describes the analyses declared; it is not the probability that a conclusion is true.'],
  });
}

/** Which choices move the answer, the most moving first. */
export function choiceInfluenceTable(
  summary: ChoicesSummary,
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'Which choices move the answer',
    columns: [
      { key: 'choice', heading: 'Choice' },
      { key: 'options', heading: 'Options', align: 'right' },
      { key: 'average', heading: 'Moves it by, on average', align: 'right' },
      { key: 'largest', heading: 'At most', align: 'right' },
      { key: 'own', heading: "Around the protocol's own", align: 'right' },
      { key: 'conclusion', heading: 'Changes the conclusion', align: 'right' },
    ],
    rows: summary.influence.map((each) => ({
      choice: each.name,
      options: each.options,
      average: points(each.averageRange),
      largest: points(each.largestRange),
      own: each.rangeAroundProtocol === undefined ? undefined : points(each.rangeAroundProtocol),
      conclusion: share(each.changesConclusion),
    })),
    notes: [
      'Moves: highest less lowest answer, per 100 shoulders, among analyses that differ in this choice alone.',
    ],
  });
}

/** The answers of several questions over all their analyses, one row each. */
export function choicesRangeTable(
  summaries: readonly ChoicesSummary[],
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'The answer over all analyses, per 100 shoulders',
    columns: [
      { key: 'question', heading: 'Question' },
      { key: 'analyses', heading: 'Analyses', align: 'right' },
      { key: 'protocol', heading: "Protocol's own", align: 'right' },
      { key: 'range', heading: 'Lowest to highest', align: 'right' },
      { key: 'limits', heading: 'Limits reach', align: 'right' },
      { key: 'choice', heading: 'Most moving choice' },
    ],
    rows: summaries.map(({ question, answered, protocol, answers, influence }) => ({
      question,
      analyses: answered,
      protocol: protocol.value === undefined ? 'no answer' : points(protocol.value),
      range: answers === undefined ? undefined : `${points(answers.lowest)} to ${points(answers.highest)}`,
      limits:
        answers === undefined
          ? undefined
          : `${points(answers.lowestLimit)} to ${points(answers.highestLimit)}`,
      choice: influence[0] !== undefined && influence[0].averageRange > 0 ? influence[0].name : 'none',
    })),
  });
}
