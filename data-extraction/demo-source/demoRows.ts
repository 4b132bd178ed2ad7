import type { siteNames } from '../../src/extraction/site.ts';
import { cuffRepair } from './demoCuffRepair.ts';
import { demoProtocol } from './demoProtocol.ts';
import { type DemoRandom, demoRandom } from './demoRandom.ts';
import type { DemoArm, DemoSite, DemoStudy } from './demoStudies.ts';
import { awkwardNotes } from './demoText.ts';
import { type DemoOutcome, demoTruth } from './demoTruth.ts';

export type CsvRow = Readonly<Record<string, string>>;

export const studyId = (study: DemoStudy): string => `${study.place.toLowerCase()}-${study.year}`;
export const studyLabel = (study: DemoStudy): string => `${study.place} ${study.year}`;

export const trueSite = (site: DemoSite): Exclude<keyof typeof siteNames, 'soft-tissue' | 'unclassified'> =>
  site === 'top'
    ? 'top-of-groove'
    : site === 'sub'
      ? 'subpectoral'
      : site === 'teno'
        ? 'tenotomy'
        : 'suprapectoral';

const armNames: Readonly<Record<DemoSite, string>> = {
  top: 'top-of-groove',
  supra: 'suprapectoral',
  sub: 'subpectoral',
  teno: 'tenotomy',
  mid: 'in-groove',
  'mid-upper': 'upper-groove',
  'mid-lower': 'lower-groove',
  soft: 'soft-tissue',
  unclear: 'tenodesis',
};
export const armId = (arm: DemoArm): string => armNames[arm.site];

const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

/** Shoulders with each outcome in one arm, drawn from the truth. */
export function drawEvents(seed: number, study: DemoStudy, arm: DemoArm, outcome: DemoOutcome): number {
  // Both kinds of revision share the study effect and each shoulder's draw: one contains the other.
  const family = outcome === 'any-revision' ? 'revision' : outcome;
  const name = `${studyId(study)}/${family}`;
  const ofStudy = demoRandom(seed, name).normal();
  const random = demoRandom(seed, `${name}/${armId(arm)}`);
  const z = (ofStudy + random.normal()) * Math.SQRT1_2;
  const { medianRate, betweenStudyDeviation } = demoTruth.events[outcome][trueSite(arm.site)];
  const { cuffRepairEffect } = demoTruth;
  const shift =
    outcome === cuffRepairEffect.outcome
      ? cuffRepairEffect.logitPerPercent *
        (cuffRepair(seed, study, arm).percent - cuffRepairEffect.referencePercent)
      : 0;
  const rate = logistic(Math.log(medianRate / (1 - medianRate)) + shift + betweenStudyDeviation * z);
  let events = 0;
  for (let shoulder = 0; shoulder < arm.shoulders; shoulder += 1) if (random.uniform() < rate) events += 1;
  return events;
}

const mainWords: Readonly<
  Record<DemoOutcome, { readonly definition: string; readonly assessors: readonly string[] }>
> = {
  'cosmetic-deformity': {
    definition: 'visible bulge',
    assessors: ['blinded examiner', 'examiner', 'examiner'],
  },
  'groove-pain': { definition: 'groove tenderness', assessors: ['examiner', 'blinded examiner', 'patient'] },
  revision: { definition: 'reoperation for the biceps', assessors: ['chart', 'registry'] },
  'any-revision': { definition: 'reoperation on the shoulder', assessors: ['chart', 'registry'] },
  stiffness: { definition: 'stiffness needing treatment', assessors: ['examiner'] },
  'nerve-injury': { definition: 'any new deficit', assessors: ['chart'] },
};

/** Rows of events.csv for one outcome of one arm, warts included. */
export function eventRows(
  seed: number,
  study: DemoStudy,
  arm: DemoArm,
  outcome: DemoOutcome,
): readonly CsvRow[] {
  const random = demoRandom(seed, `${studyId(study)}/${armId(arm)}/${outcome}/print`);
  const events = drawEvents(seed, study, arm, outcome);
  const total = arm.shoulders;
  // The arms of a study are assessed alike, so the choice belongs to the study.
  const assessor = demoRandom(seed, `${studyId(study)}/${outcome}/assessor`).pick(
    mainWords[outcome].assessors,
  );
  const percent = ((100 * events) / total).toFixed(1);
  const row: CsvRow = {
    study: studyId(study),
    arm: armId(arm),
    outcome,
    definition: mainWords[outcome].definition,
    assessor: study.design === 'randomised trial' || assessor !== 'blinded examiner' ? assessor : 'examiner',
    follow_up_months: String(study.months),
    follow_up_kind: study.design === 'randomised trial' ? 'fixed' : 'mean',
    events: String(events),
    eligible_shoulders: String(total),
    percent: random.uniform() < 0.5 ? percent : '',
    eligible_rule:
      demoProtocol.outcomes.flatMap((each) =>
        each.kind === 'events' && each.id === outcome ? [each.denominator] : [],
      )[0] ?? '',
    locator: `table ${2 + Math.floor(random.uniform() * 3)}`,
    quote: '',
    notes: random.uniform() < 0.04 ? random.pick(awkwardNotes) : '',
    extractor: random.pick(['A', 'B']),
  };
  return withWart(row, arm, outcome, study, random, { events, total });
}

function withWart(
  row: CsvRow,
  arm: DemoArm,
  outcome: DemoOutcome,
  study: DemoStudy,
  random: DemoRandom,
  { events, total }: { readonly events: number; readonly total: number },
): readonly CsvRow[] {
  const thinned = (share: number): number =>
    Array.from({ length: events }, () => random.uniform()).filter((draw) => draw < share).length;
  const bare = { ...row, percent: '' };
  switch (arm.warts?.[outcome]) {
    case undefined:
      return [row];
    case 'not reported':
      return [{ ...bare, events: 'NR', notes: 'the paper is silent on reoperations for the biceps' }];
    case 'total not reported':
      return [{ ...bare, eligible_shoulders: 'not reported' }];
    case 'percent only':
      return [{ ...row, events: '', percent: ((100 * events) / total).toFixed(1) }];
    case 'whole percent only':
      return [{ ...row, events: 'n/a', percent: ((100 * events) / total).toFixed(0) }];
    case 'patients only':
      return [
        {
          ...bare,
          events: 'NR',
          eligible_shoulders: 'NR',
          event_patients: String(events),
          eligible_patients: String(total),
        },
      ];
    case 'other definition':
      return [
        { ...bare, definition: 'complaint in the chart', assessor: 'chart', events: String(thinned(0.2)) },
      ];
    case 'other assessor':
      return [{ ...bare, assessor: 'telephone interview' }];
    case 'two assessors':
      return [
        row,
        {
          ...bare,
          definition: 'bulge noticed by the patient',
          assessor: 'patient',
          events: String(thinned(0.6)),
          locator: 'text',
        },
      ];
    case 'two times':
      return [
        { ...bare, follow_up_months: '12', events: String(thinned(0.8)), eligible_shoulders: String(total) },
        row,
      ];
    case 'eligible part':
      return [
        row,
        {
          ...bare,
          definition: 'persistent pain',
          eligible_shoulders: String(Math.max(events, Math.round(total * 0.6))),
          eligible_rule: `those with groove pain before the operation (${studyLabel(study)})`,
        },
      ];
  }
}
