import { describe, expect, it } from 'vitest';
import { demoFiles } from '../../data-extraction/makeDemo.ts';
import { overlapClusters, suspectedOverlaps } from '../../src/extraction/overlapClusters.ts';
import { overlappingReports } from '../../src/extraction/overlappingReports.ts';
import { formatProblem } from '../../src/extraction/problem.ts';
import { overlapRules } from '../../src/extraction/protocol.ts';
import { readReview } from '../../src/extraction/readReview.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { overlapTable, suspectedOverlapTable } from '../../src/tables/overlapTables.ts';
import { readSound, smallReview } from './smallReview.ts';

/** Three reports: b pools the patients of a and of c. */
const chain = (sizes: readonly [number, number, number]) => {
  const studies = ['a,A 2010,2010,x,primary', 'b,B 2012,2012,x+y,registry', 'c,C 2014,2014,y,primary'];
  return readSound({
    ...smallReview,
    'studies.csv': `study,label,year,cohort,report_kind,design\n${studies.map((row) => `${row},case series\n`).join('')}`,
    'arms.csv': `study,arm,site_as_reported,site_as_classified,shoulders_analysed\n${sizes.map((n, at) => `${'abc'[at]},only,tenotomy,tenotomy,${n}\n`).join('')}`,
    'events.csv': 'study,arm,outcome,definition,assessor,follow_up_months,events,eligible_shoulders\n',
    'scores.csv': smallReview['scores.csv']?.split('\n')[0] ?? '',
    'judgements.csv': smallReview['judgements.csv']?.split('\n')[0] ?? '',
    'flow.csv': smallReview['flow.csv']?.split('\n')[0] ?? '',
  });
};

describe('reports linked through a third', () => {
  const standing = (sizes: readonly [number, number, number]): readonly string[] => {
    const [cluster, other] = overlapClusters(chain(sizes));
    expect(other).toBeUndefined();
    expect(cluster?.cohorts).toEqual(['x', 'y']);
    return cluster!.reports.filter(({ givesWay }) => givesWay === undefined).map(({ study }) => study.study);
  };

  it('are one cluster; the pooled report stands alone when it comes first, else both of its parts may', () => {
    expect(standing([40, 90, 60])).toEqual(['b']);
    expect(standing([95, 90, 60])).toEqual(['a', 'c']);
    expect(standing([40, 90, 95])).toEqual(['a', 'c']);
  });

  it('no two that stand share patients, and each that gives way shares some with one that stands', () => {
    for (const rule of overlapRules) {
      const { studies } = chain([40, 90, 95]);
      const reasons = overlappingReports(
        studies.map((study, at) => ({ study, total: [40, 90, 95][at]! })),
        rule,
      );
      expect([...reasons.keys()].toSorted()).toEqual(['b']);
    }
  });

  it('the table names the rule, and the reason of each that gives way', () => {
    const rows = overlapTable(overlapClusters(chain([40, 90, 60]))).rows;
    expect(rows.map(({ stands }) => stands)).toEqual(['no', 'yes', 'no']);
    expect(rows[0]?.why).toContain('The same patients are in B 2012');
    expect(rows[1]?.why).toContain('the report with the most shoulders stands');
  });

  it('a cohort that is no short name is refused', () => {
    const text = (smallReview['studies.csv'] ?? '').replace('2015,brun,', '2015,brun+,');
    const { problems } = readReview({ ...smallReview, 'studies.csv': text });
    expect(problems.map(formatProblem).join('\n')).toContain('cohort is "brun+"');
  });
});

describe('the demo', () => {
  const review = readSound(demoFiles());

  it('each cluster agrees with what the selection of each outcome leaves out', () => {
    const clusters = overlapClusters(review);
    expect(clusters.length).toBeGreaterThan(0);
    const cohorts = new Map(review.studies.map(({ study, cohort }) => [study, cohort]));
    const { arms } = selectEvents(review, 'cosmetic-deformity');
    for (const { reports } of clusters) {
      const used = reports.filter(({ study }) => arms.some((arm) => arm.study === study.study));
      expect(new Set(used.map(({ study }) => cohorts.get(study.study))).size).toBe(used.length);
    }
  });

  it('suspicions share country, hospitals, surgeons and years, and no cohort', () => {
    const suspected = suspectedOverlaps(review);
    for (const { first, second } of suspected) {
      expect([second.country, second.centres, second.surgeons]).toEqual([
        first.country,
        first.centres,
        first.surgeons,
      ]);
      expect(first.cohort === second.cohort && first.cohort !== 'not reported').toBe(false);
    }
    expect(suspectedOverlapTable(suspected).rows).toHaveLength(suspected.length);
    expect(
      suspectedOverlaps({ studies: review.studies.map((each) => ({ ...each, country: 'not reported' })) }),
    ).toEqual([]);
  });
});
