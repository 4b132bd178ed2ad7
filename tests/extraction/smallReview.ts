import { readReview } from '../../src/extraction/readReview.ts';
import type { Review } from '../../src/extraction/review.ts';

export type ReviewText = Readonly<Record<string, string>>;

const lines = (...rows: readonly string[]): string => `${rows.join('\n')}\n`;

/** A small review without any problem, for tests to break. Invented. */
export const smallReview: ReviewText = {
  'protocol.json': `{
  "title": "Small review",
  "inventedData": true,
  "notice": "Invented data",
  "question": "Where?",
  "population": "Adults",
  "lastSearch": "2026-06-30",
  "sites": ["top-of-groove", "suprapectoral", "subpectoral", "tenotomy"],
  "siteRule": { "midGroove": "with-suprapectoral" },
  "overlapRule": "largest",
  "outcomes": [
    {
      "id": "groove-pain",
      "name": "Groove pain",
      "kind": "events",
      "better": "lower",
      "definitions": ["groove tenderness", "pain over the groove"],
      "assessors": ["examiner", "patient"],
      "windowMonths": { "minimum": 12, "maximum": 60 },
      "prefer": "longest",
      "denominator": "all",
      "thresholdsPer100": { "materialDifference": 5, "source": "made up" }
    },
    {
      "id": "revision",
      "name": "Revision",
      "kind": "events",
      "better": "lower",
      "definitions": ["reoperation"],
      "assessors": ["chart", "not reported"],
      "prefer": "closest-to-target",
      "targetMonths": 24,
      "denominator": "all",
      "thresholdsPer100": { "materialDifference": 1, "source": "made up" }
    }
  ],
  "scales": [
    {
      "id": "pain-vas",
      "name": "Pain line",
      "better": "lower",
      "ranges": [{ "minimum": 0, "maximum": 10 }, { "minimum": 0, "maximum": 100 }]
    }
  ],
  "analysis": {
    "model": "random-effects",
    "betweenStudyVariance": "dersimonian-laird",
    "interval": "wald",
    "prediction": "t-k-minus-2",
    "rateScale": "logit",
    "zeroEvents": "leave-out",
    "studyInterval": "wilson",
    "level": 0.95
  }
}
`,
  'studies.csv': lines(
    'study,label,year,cohort,report_kind,design,enrolment_start,enrolment_end',
    'abel-2010,Abel 2010,2010,,primary,retrospective cohort,2004-01,2007-12',
    'brun-2015,Brun 2015,2015,brun,primary,randomised trial,2010,2012',
    'cilla-2020,Cilla 2020,2020,,primary,case series,,',
  ),
  'arms.csv': lines(
    'study,arm,site_as_reported,site_as_classified,distance_mm,distance_from,patients_enrolled,shoulders_enrolled,patients_analysed,shoulders_analysed,age_mean_years',
    'abel-2010,high,at the articular margin,,,,39,40,37,38,54.5',
    'abel-2010,low,subpectoral,subpectoral,,,42,42,40,40,56.25',
    'brun-2015,low,just proximal to the pectoralis major,,,,30,30,30,30,NR',
    'brun-2015,cut,tenotomy,,,,30,30,28,28,n/a',
    'cilla-2020,only,within the groove,,20,articular margin,200,210,200,210,51',
  ),
  'events.csv': lines(
    'study,arm,outcome,definition,assessor,follow_up_months,events,eligible_shoulders,percent,event_patients,eligible_patients',
    'abel-2010,high,groove-pain,groove tenderness,examiner,24,4,38,10.5,,',
    'abel-2010,low,groove-pain,groove tenderness,examiner,24,0,40,0,,',
    'brun-2015,low,groove-pain,groove tenderness,examiner,24,3,30,10,,',
    'brun-2015,cut,groove-pain,groove tenderness,examiner,24,NR,28,NR,,',
    'cilla-2020,only,groove-pain,pain over the groove,patient,36,21,210,10.0,,',
    'cilla-2020,only,revision,reoperation,chart,36,2,210,,,',
  ),
  'scores.csv': lines(
    'study,arm,scale,value_type,follow_up_months,scale_minimum,scale_maximum,shoulders,mean,sd,se,interval_lower,interval_upper,interval_percent,median,quartile_lower,quartile_upper,minimum,maximum',
    'abel-2010,high,pain-vas,final,24,0,10,38,2.1,1.4,,,,,,,,,',
    'abel-2010,low,pain-vas,final,24,0,100,40,,,,,,,17,8,29,,',
  ),
  'judgements.csv': lines(
    'study,tool,item,outcome,judgement',
    'abel-2010,MINORS,clear aim,,2',
    'brun-2015,RoB 2,overall,groove-pain,some concerns',
  ),
  'flow.csv': lines(
    'stage,detail,count',
    'reports assessed,,10',
    'reports excluded,no result by site,7',
    'reports included,,3',
    'studies included,,3',
  ),
};

/** The small review with one piece of one file replaced; the piece must be there exactly once. */
export function withChange(
  file: string,
  from: string,
  to: string,
  review: ReviewText = smallReview,
): ReviewText {
  const text = review[file] ?? '';
  const pieces = text.split(from);
  if (pieces.length !== 2) throw new Error(`"${from}" stands ${pieces.length - 1} times in ${file}`);
  return { ...review, [file]: pieces.join(to) };
}

/** A review that must read without an error. */
export function readSound(files: Readonly<Record<string, string | Uint8Array>>): Review {
  const { review, problems } = readReview(files);
  if (review === undefined) throw new Error(problems.map((problem) => JSON.stringify(problem)).join('\n'));
  return review;
}
