import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type CountedArm, type JudgedStudy, sheetsOf } from '../answers/reviewOf.ts';
import { smallReview } from '../extraction/smallReview.ts';
import { projectRoot } from '../publishing/helpers/runScript.ts';

/** A review whose products are made and read back. */
export interface ReviewOfProof {
  readonly name: string;
  /** Its folder, and that of an earlier version to compare it with. */
  readonly folder: string;
  readonly before: string;
}

const sites = ['top-of-groove', 'suprapectoral', 'subpectoral', 'tenotomy'] as const;

/** Series of one site each, so that no study holds two. */
const seriesOnly: readonly CountedArm[] = [3, 6, 2, 9, 4, 7, 1, 5, 8, 2, 3, 6].flatMap(
  (events, at): CountedArm[] => {
    const arm = { study: `series-${at}`, site: sites[at % 4]!, total: 60 + 7 * at };
    return [
      { ...arm, events, outcome: 'groove-pain' },
      { ...arm, events: at % 3, outcome: 'revision' },
    ];
  },
);

/** Trials and cohorts of two sites; most arms without any event. */
const rareEvents: readonly CountedArm[] = [0, 1, 0, 2, 0, 1].flatMap((events, at): CountedArm[] => {
  const own = { study: `both-${at}`, design: at % 2 === 0 ? 'randomised trial' : 'retrospective cohort' };
  return [
    { ...own, site: 'subpectoral', events: at === 3 ? 1 : 0, total: 48 + at, outcome: 'revision' },
    { ...own, site: 'tenotomy', events, total: 50 + 2 * at, outcome: 'revision' },
    { ...own, site: 'subpectoral', events: 2 + at, total: 48 + at, outcome: 'groove-pain' },
    { ...own, site: 'tenotomy', events: 6 + at, total: 50 + 2 * at, outcome: 'groove-pain' },
  ];
});
/** At these sites nobody was revised, so that nothing is pooled there. */
const withoutAny: readonly CountedArm[] = [44, 61, 83].flatMap((total, at): CountedArm[] => [
  { study: `none-${at}`, site: 'suprapectoral', events: 0, total, outcome: 'revision' },
  { study: `alone-${at}`, site: 'top-of-groove', events: at, total: total + 9, outcome: 'groove-pain' },
]);

const judgedAll = (arms: readonly CountedArm[]): readonly JudgedStudy[] =>
  [...new Map(arms.map((arm) => [arm.study, arm])).values()].map(({ study, design }) =>
    design === 'randomised trial'
      ? { study, tool: 'RoB 2', judgement: 'low' }
      : { study, tool: 'ROBINS-I', judgement: 'moderate' },
  );

function write(folder: string, files: Readonly<Record<string, string>>): string {
  mkdirSync(folder, { recursive: true });
  for (const [name, content] of Object.entries(files)) writeFileSync(join(folder, name), content);
  return folder;
}

const demo = join(projectRoot, 'data-extraction/demo');
const lastYear = join(projectRoot, 'data-extraction/demo-2025');

/** The five reviews of the proof; those that are not in the project are written into a folder. All invented. */
export function reviewsOfProof(root: string): readonly ReviewOfProof[] {
  const made = (
    name: string,
    arms: readonly CountedArm[],
    earlier: readonly CountedArm[],
  ): ReviewOfProof => ({
    name,
    folder: write(join(root, 'sheets', name), sheetsOf(arms, { judgements: judgedAll(arms) })),
    before: write(
      join(root, 'sheets', `${name}-before`),
      sheetsOf(earlier, { judgements: judgedAll(earlier) }),
    ),
  });
  const rare = [...rareEvents, ...withoutAny];
  const three = write(join(root, 'sheets', 'three-studies'), smallReview);
  const events = smallReview['events.csv']!;
  return [
    { name: 'demo', folder: demo, before: lastYear },
    { name: 'demo-2025', folder: lastYear, before: demo },
    made('series-only', seriesOnly, seriesOnly.slice(0, -4)),
    made('rare-events', rare, rare.slice(4)),
    {
      name: 'three-studies',
      folder: three,
      before: write(join(root, 'sheets', 'three-studies-before'), {
        ...smallReview,
        'events.csv': events.replace(
          'groove tenderness,examiner,24,4,38,10.5',
          'groove tenderness,examiner,24,6,38,15.8',
        ),
      }),
    },
  ];
}
