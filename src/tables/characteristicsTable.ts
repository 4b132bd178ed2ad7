import type { StudyQuality } from '../certainty/quality/studyQuality.ts';
import { sumInWords } from '../certainty/quality/sumInWords.ts';
import { classifySite } from '../extraction/classifySite.ts';
import { isReported, type Reported } from '../extraction/reported.ts';
import type { Review, StudyRow } from '../extraction/review.ts';
import { siteNames } from '../extraction/site.ts';
import { counted } from '../wording/words.ts';
import { reportedCell, type Table, type TableRow, table } from './table.ts';

const silent = 'not reported';

/**
 * What kind of studies are these?
 *
 * One row a study: design, place and dates, patients and shoulders at follow-up, the sites as the review counts them,
 * fixation, follow-up, cuff repair, funding, registration, and how well it was done. What a paper does not say is
 * "not reported", never nothing.
 *
 * @param quality judgements from `studyQuality`; without them the column says "not judged"
 * @see PRISMA 2020, item 17; Cochrane Handbook, section 5.3 (characteristics of included studies).
 * @example
 * characteristicsTable(review, studyQuality(review))
 */
export function characteristicsTable(
  review: Pick<Review, 'protocol' | 'studies' | 'arms'>,
  quality: readonly StudyQuality[] = [],
  options: { readonly caption?: string } = {},
): Table {
  const rows: TableRow[] = [];
  for (const study of review.studies) {
    const arms = review.arms.filter((arm) => arm.study === study.study);
    rows.push({
      study: study.label,
      design: study.design,
      place: reportedCell(study.country),
      dates: datesOf(study),
      patients: totalOf(arms.map(({ patientsAnalysed }) => patientsAnalysed)),
      shoulders: totalOf(arms.map(({ shouldersAnalysed }) => shouldersAnalysed)),
      sites: arms.map((arm) => siteNames[classifySite(arm, review.protocol.siteRule).site]).join(', '),
      fixation: distinct(arms.map(({ fixation }) => fixation)),
      followUp: followUpOf(study),
      cuff: rangeOf(arms.map(({ cuffRepairPercent }) => cuffRepairPercent)),
      funding: reportedCell(study.funding),
      registration: reportedCell(study.registration),
      quality: qualityOf(quality.find((each) => each.study === study.study)),
    });
  }
  return table({
    beside: 'about the studies',
    caption: options.caption ?? `Characteristics of the ${counted(review.studies.length, 'report')}`,
    columns: [
      { key: 'study', heading: 'Study' },
      { key: 'design', heading: 'Design' },
      { key: 'place', heading: 'Place' },
      { key: 'dates', heading: 'Operations' },
      { key: 'patients', heading: 'Patients', align: 'right', group: 'At follow-up' },
      { key: 'shoulders', heading: 'Shoulders', align: 'right', group: 'At follow-up' },
      { key: 'sites', heading: 'Sites' },
      { key: 'fixation', heading: 'Fixation' },
      { key: 'followUp', heading: 'Follow-up, months' },
      { key: 'cuff', heading: 'Cuff repair, %', align: 'right' },
      { key: 'funding', heading: 'Funding' },
      { key: 'registration', heading: 'Registration' },
      { key: 'quality', heading: 'Quality' },
    ],
    rows,
    sources: review.studies.map((study) => [
      study.row,
      ...review.arms.filter((arm) => arm.study === study.study).map(({ row }) => row),
      ...(quality.find((each) => each.study === study.study)?.judgement?.rows ?? []),
    ]),
    notes: [
      'Sites are those the review counts the arms at, by its own rule. Follow-up: mean, and the shortest accepted in brackets.',
      'Quality: how much concern the instrument named leaves, over all outcomes; "not judged" is not low concern.',
    ],
  });
}

function datesOf({ enrolmentStart, enrolmentEnd }: StudyRow): string {
  const [from, to] = [enrolmentStart, enrolmentEnd].map((day) =>
    isReported(day) ? String(day).slice(0, 4) : undefined,
  );
  if (from === undefined && to === undefined) return silent;
  return from === to ? String(from) : `${from ?? '?'} to ${to ?? '?'}`;
}

/** A sum is given only where every arm reports its part. */
function totalOf(counts: readonly Reported<number>[]): number | string {
  const told = counts.filter(isReported) as readonly number[];
  if (told.length === 0 || told.length < counts.length) return silent;
  return told.reduce((sum, count) => sum + count, 0);
}

function distinct(values: readonly Reported<string>[]): string {
  return [...new Set(values.map((value) => (isReported(value) ? value : silent)))].join(', ');
}

function rangeOf(values: readonly Reported<number>[]): string {
  const told = values.filter(isReported) as readonly number[];
  if (told.length === 0) return silent;
  const [least, most] = [Math.min(...told), Math.max(...told)].map((value) => value.toFixed(0));
  return least === most ? String(least) : `${least} to ${most}`;
}

function followUpOf({ followUpMeanMonths, followUpMinimumMonths }: StudyRow): string {
  const mean = isReported(followUpMeanMonths) ? String(followUpMeanMonths) : 'mean not reported';
  return isReported(followUpMinimumMonths) ? `${mean} (${followUpMinimumMonths})` : mean;
}

function qualityOf(found: StudyQuality | undefined): string {
  if (found?.judgement === undefined) return 'not judged';
  const { instrument, sum } = found.judgement;
  return `${found.concern} (${instrument}${sum === undefined ? '' : ` ${sumInWords(found.judgement)}`})`;
}
