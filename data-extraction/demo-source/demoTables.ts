import { judgementItems } from '../../src/extraction/sheets/judgementsSheet.ts';
import { cuffRepair } from './demoCuffRepair.ts';
import { type DemoRandom, demoRandom } from './demoRandom.ts';
import { armId, type CsvRow, studyId, studyLabel, trueSite } from './demoRows.ts';
import type { DemoArm, DemoSite, DemoStudy } from './demoStudies.ts';
import { siteWordings } from './demoText.ts';
import { type DemoScale, demoTruth } from './demoTruth.ts';

const levels: Readonly<Record<string, string>> = {
  'randomised trial': 'I',
  'prospective cohort': 'II',
  'retrospective cohort': 'III',
  'case series': 'IV',
};

/** One row of studies.csv. */
export function studyRow(seed: number, study: DemoStudy): CsvRow {
  const random = demoRandom(seed, `${studyId(study)}/study`);
  const start = study.year - 4 - Math.floor(random.uniform() * 3);
  return {
    study: studyId(study),
    label: studyLabel(study),
    year: String(study.year),
    country: random.pick(['Vardia', 'Eskarra', 'Lower Mondal', 'Tresk']),
    cohort: study.cohort ?? '',
    report_kind: study.reportKind ?? 'primary',
    design: study.design,
    level_of_evidence: levels[study.design] ?? '',
    centres: random.pick(['1', '1', '2', 'NR']),
    surgeons: random.pick(['1', '2', '3', 'not reported']),
    enrolment_start: `${start}-${random.pick(['01', '03', '06'])}`,
    enrolment_end: `${start + 2}-${random.pick(['06', '10', '12'])}`,
    follow_up_minimum_months: study.months >= 24 ? random.pick(['12', '24']) : 'NR',
    follow_up_mean_months: String(study.months),
    patients_lost: random.pick(['0', '2', '5', 'n/a']),
    funding: random.pick(['none', 'none', 'institution', 'industry', 'NR']),
    conflicts: random.pick(['none declared', 'NR']),
    registration: study.design === 'randomised trial' ? `INVENTED-${study.year}` : '',
    reference: `Invented Journal of Shoulders ${study.year - 1990}:${1 + Math.floor(random.uniform() * 300)}`,
    locator: 'page 1',
    extractor: random.pick(['A', 'B']),
  };
}

const entries: Readonly<Record<DemoSite, string>> = {
  top: 'top-of-groove',
  supra: 'suprapectoral',
  sub: 'subpectoral',
  teno: 'tenotomy',
  mid: 'mid-groove',
  'mid-upper': 'mid-groove-upper-half',
  'mid-lower': 'mid-groove-lower-half',
  soft: 'soft-tissue',
  unclear: '',
};

/** One row of arms.csv. */
export function armRow(seed: number, study: DemoStudy, arm: DemoArm): CsvRow {
  const random = demoRandom(seed, `${studyId(study)}/${armId(arm)}/arm`);
  const lost = random.pick([0, 0, 1, 3]);
  const patients = arm.shoulders - (arm.bilateral ?? 0);
  const tenotomy = arm.site === 'teno';
  const wording = random.pick(siteWordings[arm.site]);
  const measured: Readonly<Partial<Record<DemoSite, readonly [number, string]>>> = {
    top: [4, 'articular margin'],
    supra: [-6, 'upper pectoralis border'],
    sub: [-12, 'lower pectoralis border'],
    'mid-lower': [24, 'articular margin'],
  };
  const distance = random.uniform() < 0.3 ? measured[arm.site] : undefined;
  const fixation = tenotomy
    ? 'none'
    : arm.site === 'soft'
      ? 'soft tissue'
      : random.pick(['interference screw', 'suture anchor', 'cortical button', 'all-suture anchor']);
  const repair = cuffRepair(seed, study, arm);
  const procedures =
    repair.reported && repair.percent > 0
      ? ['cuff repair', 'cuff repair, decompression']
      : ['decompression', 'NR'];
  const inlay = fixation === 'interference screw';
  return {
    study: studyId(study),
    arm: armId(arm),
    site_as_reported: wording,
    site_as_classified: random.uniform() < 0.5 ? entries[arm.site] : '',
    distance_mm: distance === undefined ? '' : String(distance[0] + Math.round(random.normal())),
    distance_from: distance?.[1] ?? '',
    approach: wording.includes('open') ? 'open' : wording.includes('axillary') ? 'mini-open' : 'arthroscopic',
    fixation,
    inlay_or_onlay: tenotomy ? 'none' : arm.site === 'soft' ? 'soft tissue' : inlay ? 'inlay' : 'onlay',
    concomitant_procedures: random.pick(procedures),
    cuff_repair_percent: repair.reported ? repair.percent.toFixed(1) : 'NR',
    indication: random.pick([
      'tear or instability of the tendon',
      'cuff tear with a diseased tendon',
      'superior labral tear',
    ]),
    patients_enrolled: String(patients + lost),
    shoulders_enrolled: String(arm.shoulders + lost),
    patients_analysed: String(patients),
    shoulders_analysed: String(arm.shoulders),
    age_mean_years: (54 + 5 * random.normal()).toFixed(1),
    age_sd_years: (9 + random.normal()).toFixed(1),
    women_percent: (40 + 8 * random.normal()).toFixed(0),
    body_mass_index_mean: random.uniform() < 0.4 ? (27 + random.normal()).toFixed(1) : 'NR',
    dominant_side_percent: random.uniform() < 0.5 ? (62 + 6 * random.normal()).toFixed(0) : '-',
    sling_weeks: random.pick(['4', '6', 'NR']),
    follow_up_mean_months: String(study.months),
    locator: 'table 1',
    extractor: random.pick(['A', 'B']),
  };
}

/** Rows of scores.csv for one scale of one arm: before and at follow-up. */
export function scoreRows(seed: number, study: DemoStudy, arm: DemoArm, scale: DemoScale): readonly CsvRow[] {
  const random = demoRandom(seed, `${studyId(study)}/${armId(arm)}/${scale}`);
  const truth = demoTruth.scores[scale][trueSite(arm.site)];
  const ofStudy = demoRandom(seed, `${studyId(study)}/${scale}`).normal();
  const z = (ofStudy + random.normal()) * Math.SQRT1_2;
  const sd = truth.withinDeviation * (1 + 0.1 * random.normal());
  const final =
    truth.mean + truth.betweenStudyDeviation * z + (sd * random.normal()) / Math.sqrt(arm.shoulders);
  const worst = scale === 'pain-vas' ? 6.2 : scale === 'ases' ? 48 : 52;
  const baseline = worst + (sd * random.normal()) / Math.sqrt(arm.shoulders);
  const stretch = scale === 'pain-vas' && study.longPainLine === true ? 10 : 1;
  const top = scale === 'pain-vas' ? 10 * stretch : 100;
  const print = (value: number): string => Math.min(Math.max(value * stretch, 0), top).toFixed(1);
  const shared = {
    study: studyId(study),
    arm: armId(arm),
    scale,
    scale_minimum: '0',
    scale_maximum: String(top),
    shoulders: String(arm.shoulders),
    locator: `table ${3 + Math.floor(random.uniform() * 2)}`,
    extractor: random.pick(['A', 'B']),
  };
  const spread = (mean: number): CsvRow => {
    if (study.medians === true) {
      return {
        median: print(mean),
        quartile_lower: print(mean - 0.6745 * sd),
        quartile_upper: print(mean + 0.6745 * sd),
      };
    }
    return printMean(mean, sd, arm.shoulders, print, study.year);
  };
  return [
    { ...shared, value_type: 'baseline', follow_up_months: '0', ...spread(baseline) },
    { ...shared, value_type: 'final', follow_up_months: String(study.months), ...spread(final) },
  ];
}

/** Papers print the spread as a standard deviation, a standard error or an interval. */
function printMean(
  mean: number,
  sd: number,
  shoulders: number,
  print: (value: number) => string,
  year: number,
): CsvRow {
  const se = sd / Math.sqrt(shoulders);
  if (year % 5 === 3) return { mean: print(mean), se: print(se) };
  if (year % 5 === 4) {
    return {
      mean: print(mean),
      interval_lower: print(mean - 1.96 * se),
      interval_upper: print(mean + 1.96 * se),
      interval_percent: '95',
    };
  }
  return { mean: print(mean), sd: print(sd) };
}

/** Rows of judgements.csv for one study. */
export function judgementRows(seed: number, study: DemoStudy): readonly CsvRow[] {
  const random = demoRandom(seed, `${studyId(study)}/judgements`);
  const rows = (
    tool: 'MINORS' | 'RoB 2',
    items: readonly string[],
    answer: () => string,
  ): readonly CsvRow[] =>
    items.map((item) => ({
      study: studyId(study),
      tool,
      item,
      judgement: answer(),
      locator: 'methods',
      extractor: 'A',
    }));
  if (study.design === 'randomised trial') return randomisedJudgements(random, rows);
  const { items } = judgementItems.MINORS;
  const comparative = study.arms.length > 1;
  return rows('MINORS', comparative ? items : items.slice(0, 8), () =>
    random.pick(['0', '1', '1', '2', '2', '2']),
  );
}

const gravity = ['low', 'some concerns', 'high'];

function randomisedJudgements(
  random: DemoRandom,
  rows: (tool: 'RoB 2', items: readonly string[], answer: () => string) => readonly CsvRow[],
): readonly CsvRow[] {
  const { items } = judgementItems['RoB 2'];
  const domains = rows('RoB 2', items.slice(0, -1), () =>
    random.pick(['low', 'low', 'low', 'some concerns', 'high']),
  );
  // A trial is judged overall by its worst domain.
  const worst = gravity[Math.max(...domains.map((row) => gravity.indexOf(row.judgement ?? 'low')))] ?? 'low';
  return [...domains, ...rows('RoB 2', items.slice(-1), () => worst)];
}

/** Rows of flow.csv; every step adds up. */
export function flowRows(studies: readonly DemoStudy[]): readonly CsvRow[] {
  const cohorts = new Set(studies.map((study) => study.cohort ?? studyId(study))).size;
  const excluded = [
    ['no result by site', 41],
    ['fewer than five shoulders', 12],
    ['follow-up too short', 9],
  ] as const;
  const assessed = studies.length + excluded.reduce((sum, [, count]) => sum + count, 0);
  const sought = assessed + 4;
  const screened = sought + 612;
  const identified = screened + 287;
  const row = (stage: string, detail: string, count: number): CsvRow => ({
    stage,
    detail,
    count: String(count),
    extractor: 'A',
  });
  return [
    row('records identified', 'database one', identified - 214 - 31),
    row('records identified', 'database two', 214),
    row('records identified', 'reference lists', 31),
    row('records removed before screening', 'duplicates', 287),
    row('records screened', '', screened),
    row('records excluded', 'title and abstract', 612),
    row('reports sought', '', sought),
    row('reports not retrieved', '', 4),
    row('reports assessed', '', assessed),
    ...excluded.map(([reason, count]) => row('reports excluded', reason, count)),
    row('reports included', '', studies.length),
    row('studies included', '', cohorts),
  ];
}
