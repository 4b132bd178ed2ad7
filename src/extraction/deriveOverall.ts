import { isReported } from './reported.ts';
import type { JudgementRow } from './review.ts';
import { judgementItems } from './sheets/judgementsSheet.ts';

/** Instruments that end in one overall judgement rather than a sum. */
export const overallTools = ['RoB 2', 'ROBINS-I'] as const;
export type OverallTool = (typeof overallTools)[number];

/** From best to worst; `no information` stands beside them and is settled by the rule. */
const gravity: Readonly<Record<OverallTool, readonly string[]>> = {
  'RoB 2': ['low', 'some concerns', 'high'],
  'ROBINS-I': ['low', 'moderate', 'serious', 'critical'],
};

/** How bad an answer is within its instrument, 0 the best; -1 for an answer outside the order. */
export const gravityOf = (tool: OverallTool, answer: string): number => gravity[tool].indexOf(answer);

/**
 * What does the instrument's own rule make of its domains?
 *
 * The least favourable domain. A domain nobody judged counts as unknown: the overall is then only said where no answer
 * to it could make a difference. In ROBINS-I a domain without information leaves the overall without information unless
 * another is serious or critical.
 *
 * @param answers answers by domain; those missing are not judged
 * @returns undefined where the rule cannot be applied yet
 * @see Sterne 2019, BMJ 366:l4898 (RoB 2). Sterne 2016, BMJ 355:i4919 (ROBINS-I, table of overall judgements).
 * @example
 * deriveOverall('RoB 2', new Map([['randomisation process', 'high']])) // 'high', whatever the other four are
 */
export function deriveOverall(tool: OverallTool, answers: ReadonlyMap<string, string>): string | undefined {
  const domains = judgementItems[tool].items.filter((item) => item !== 'overall');
  const given = domains.flatMap((domain) => answers.get(domain) ?? []);
  const order = gravity[tool];
  const worst = Math.max(-1, ...given.map((answer) => gravityOf(tool, answer)));
  if (worst === order.length - 1) return order[worst];
  if (given.length < domains.length) return undefined;
  if (given.includes('no information') && worst < order.indexOf('serious')) return 'no information';
  return order[worst];
}

/** Judgement rows that speak together: one study, one instrument, one outcome or all of them. */
export interface JudgementGroup<Row> {
  readonly study: string;
  readonly tool: JudgementRow['tool'];
  readonly outcome: JudgementRow['outcome'];
  readonly rows: readonly Row[];
}

/** Rows in groups, in the order they first appear. */
export function groupJudgements<Row>(
  rows: readonly Row[],
  valuesOf: (row: Row) => JudgementRow,
): readonly JudgementGroup<Row>[] {
  const groups = new Map<string, { first: JudgementRow; rows: Row[] }>();
  for (const row of rows) {
    const values = valuesOf(row);
    const key = JSON.stringify([
      values.study,
      values.tool,
      isReported(values.outcome) ? values.outcome : null,
    ]);
    const known = groups.get(key);
    if (known === undefined) groups.set(key, { first: values, rows: [row] });
    else known.rows.push(row);
  }
  return [...groups.values()].map(({ first, rows: own }) => ({
    study: first.study,
    tool: first.tool,
    outcome: first.outcome,
    rows: own,
  }));
}
