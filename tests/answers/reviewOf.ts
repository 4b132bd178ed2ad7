import { stringify } from 'csv-stringify/sync';
import type { Review } from '../../src/extraction/review.ts';
import type { PooledSite } from '../../src/extraction/site.ts';
import { type ReviewText, readSound, smallReview } from '../extraction/smallReview.ts';

/** One arm with its count; invented. */
export interface CountedArm {
  readonly study: string;
  readonly site: PooledSite;
  readonly events: number | 'NR';
  readonly total: number;
  readonly design?: string;
  /** Default: the site. */
  readonly arm?: string;
  readonly outcome?: string;
}

/** Overall judgement of a study by RoB 2 or ROBINS-I, of all outcomes. */
export interface JudgedStudy {
  readonly study: string;
  readonly tool: 'RoB 2' | 'ROBINS-I';
  readonly judgement: string;
}

const siteWords: Readonly<Record<PooledSite, string>> = {
  'top-of-groove': 'at the articular margin',
  suprapectoral: 'just proximal to the pectoralis major',
  subpectoral: 'subpectoral',
  tenotomy: 'tenotomy',
};
const definitionOf = (outcome: string) =>
  outcome === 'revision'
    ? { definition: 'reoperation', assessor: 'chart' }
    : { definition: 'groove tenderness', assessor: 'examiner' };

export interface ReviewOfOptions {
  readonly judgements?: readonly JudgedStudy[];
  readonly protocol?: (protocol: Record<string, unknown>) => Record<string, unknown>;
  readonly files?: Readonly<Record<string, string>>;
}

/** A review of these counts by the small review's protocol, read as sheets are; `NR` is not reported. */
export const reviewOf = (counts: readonly CountedArm[], options: ReviewOfOptions = {}): Review =>
  readSound(sheetsOf(counts, options));

/** The sheets of such a review. */
export function sheetsOf(counts: readonly CountedArm[], options: ReviewOfOptions = {}): ReviewText {
  const sheet = (rows: readonly object[], columns: readonly string[]): string =>
    stringify(rows as object[], { header: true, columns: [...columns] });
  const studies = [...new Map(counts.map((each) => [each.study, each])).values()];
  const arms = [...new Map(counts.map((each) => [`${each.study} ${each.arm ?? each.site}`, each])).values()];
  const protocol = JSON.parse(smallReview['protocol.json']!) as Record<string, unknown>;
  return {
    'protocol.json': JSON.stringify(options.protocol?.(protocol) ?? protocol),
    'studies.csv': sheet(
      studies.map(({ study, design }) => ({
        study,
        label: `${study.charAt(0).toUpperCase()}${study.slice(1)}`,
        year: 2015,
        report_kind: 'primary',
        design: design ?? 'case series',
      })),
      ['study', 'label', 'year', 'cohort', 'report_kind', 'design'],
    ),
    'arms.csv': sheet(
      arms.map(({ study, arm, site, total }) => ({
        study,
        arm: arm ?? site,
        site_as_reported: siteWords[site],
        site_as_classified: site,
        shoulders_enrolled: total,
        shoulders_analysed: total,
      })),
      ['study', 'arm', 'site_as_reported', 'site_as_classified', 'shoulders_enrolled', 'shoulders_analysed'],
    ),
    'events.csv': sheet(
      counts.map(({ study, arm, site, outcome = 'groove-pain', events, total }) => ({
        study,
        arm: arm ?? site,
        outcome,
        ...definitionOf(outcome),
        follow_up_months: 24,
        events,
        eligible_shoulders: total,
      })),
      [
        'study',
        'arm',
        'outcome',
        'definition',
        'assessor',
        'follow_up_months',
        'events',
        'eligible_shoulders',
      ],
    ),
    'judgements.csv': sheet(
      (options.judgements ?? []).map((each) => ({ ...each, item: 'overall' })),
      ['study', 'tool', 'item', 'outcome', 'judgement'],
    ),
    'flow.csv': `stage,detail,count\nreports included,,${studies.length}\nstudies included,,${studies.length}\n`,
    ...options.files,
  };
}
