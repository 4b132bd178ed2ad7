import type { OverlapCluster, SuspectedOverlap } from '../extraction/overlapClusters.ts';
import type { OverlapRule } from '../extraction/protocol.ts';
import { reportedCell, type Table, table } from './table.ts';

const ruleNames: Readonly<Record<OverlapRule, string>> = {
  largest: 'the report with the most shoulders stands',
  latest: 'the latest report stands',
  'primary-report': 'the primary report stands',
};

/** Which report stands for each group of reports that share patients, and by which rule. */
export function overlapTable(clusters: readonly OverlapCluster[]): Table {
  return table({
    caption: 'Reports that share patients',
    columns: [
      { key: 'cohorts', heading: 'Patients' },
      { key: 'report', heading: 'Report' },
      { key: 'kind', heading: 'Kind' },
      { key: 'year', heading: 'Year', align: 'right' },
      { key: 'shoulders', heading: 'Shoulders', align: 'right' },
      { key: 'stands', heading: 'Stands' },
      { key: 'why', heading: 'Why' },
    ],
    rows: clusters.flatMap(({ cohorts, reports, rule }) =>
      reports.map(({ study, shoulders, givesWay }) => ({
        cohorts: cohorts.join(', '),
        report: study.label,
        kind: reportedCell(study.reportKind),
        year: String(study.year),
        shoulders,
        stands: givesWay === undefined ? 'yes' : 'no',
        why: givesWay ?? `Rule of the protocol: ${ruleNames[rule]}.`,
      })),
    ),
    sources: clusters.flatMap(({ reports }) => reports.map(({ study }) => [study.row])),
    notes: [
      'For each outcome the rule is applied again among the reports that have it, so that a report without the outcome does not displace one with it.',
    ],
  });
}

/** Pairs of reports to look into, because they might share patients. */
export function suspectedOverlapTable(suspected: readonly SuspectedOverlap[]): Table {
  return table({
    caption: 'Reports that might share patients',
    columns: [
      { key: 'first', heading: 'Report' },
      { key: 'second', heading: 'Other report' },
      { key: 'because', heading: 'What they have in common' },
    ],
    rows: suspected.map(({ first, second, because }) => ({
      first: first.label,
      second: second.label,
      because,
    })),
    sources: suspected.map(({ first, second }) => [first.row, second.row]),
    notes: [
      'A suspicion only: nothing is left out because of it. To declare an overlap give both reports one name in the column cohort; to dispel it, a note.',
    ],
  });
}
