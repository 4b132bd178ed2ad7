// Numbers before and now, with what moved them: an invented review and the version before it.
import { compareVersions } from '../../src/changes/compareVersions.ts';
import { beforeAfter } from '../../src/figures/beforeAfter.ts';
import { readSound, smallReview } from '../extraction/smallReview.ts';
import { invented } from './inventedPools.ts';

const lines = (...rows: readonly string[]): string => `${rows.join('\n')}\n`;

/** Two studies of two arms each, a third one that comes in later, a corrected cell and a later window. */
const studies = (...more: readonly string[]) => [
  'study,label,year,design',
  'anholt-2012,Anholt 2012,2012,retrospective cohort',
  'berrin-2014,Berrin 2014,2014,randomised trial',
  ...more,
];
const arms = (...more: readonly string[]) => [
  'study,arm,site_as_reported,site_as_classified,distance_mm,distance_from,patients_enrolled,shoulders_enrolled,patients_analysed,shoulders_analysed,age_mean_years',
  'anholt-2012,high,articular margin,top-of-groove,,,80,80,80,80,50',
  'anholt-2012,low,subpectoral,subpectoral,,,90,90,90,90,50',
  'berrin-2014,low,subpectoral,subpectoral,,,40,40,40,40,50',
  'berrin-2014,cut,tenotomy,tenotomy,,,42,42,42,42,50',
  ...more,
];
const events = (low: number, ...more: readonly string[]) => [
  'study,arm,outcome,definition,assessor,follow_up_months,events,eligible_shoulders,percent,event_patients,eligible_patients',
  'anholt-2012,high,groove-pain,groove tenderness,examiner,24,16,80,,,',
  `anholt-2012,low,groove-pain,groove tenderness,examiner,24,${low},90,,,`,
  'berrin-2014,low,groove-pain,groove tenderness,examiner,20,3,40,,,',
  'berrin-2014,cut,groove-pain,groove tenderness,examiner,20,9,42,,,',
  ...more,
];
const version = (name: string, sheets: Readonly<Record<string, readonly string[]>>, protocol: string) => {
  const texts = Object.fromEntries(Object.entries(sheets).map(([file, rows]) => [file, lines(...rows)]));
  const files = { 'protocol.json': protocol, ...texts };
  return { name, files, review: readSound(files) };
};
const protocol = smallReview['protocol.json']!;
const before = version(
  'before',
  { 'studies.csv': studies(), 'arms.csv': arms(), 'events.csv': events(14) },
  protocol
    .replace('"minimum": 12, "maximum": 60', '"minimum": 18, "maximum": 60')
    .replace('2026-06-30', '2025-06-30'),
);
const after = version(
  'after',
  {
    'studies.csv': studies('corvin-2019,Corvin 2019,2019,randomised trial'),
    'arms.csv': arms(
      'corvin-2019,low,subpectoral,subpectoral,,,60,60,60,60,50',
      'corvin-2019,cut,tenotomy,tenotomy,,,61,61,61,61,50',
    ),
    'events.csv': events(
      8,
      'corvin-2019,low,groove-pain,groove tenderness,examiner,14,4,60,,,',
      'corvin-2019,cut,groove-pain,groove tenderness,examiner,14,15,61,,,',
    ),
  },
  protocol,
);
const report = compareVersions(before, after, { certainty: 'none' });
const same = compareVersions(after, after, { certainty: 'none' });

const both = (name: string, draw: (width: '90mm' | '190mm') => string) => ({
  [`${name}-90mm`]: () => draw('90mm'),
  [`${name}-190mm`]: () => draw('190mm'),
});

export const changePictures: Readonly<Record<string, () => string>> = {
  ...both('before-after-rates', (width) =>
    beforeAfter(report, { width, title: 'Rates before and now', notice: invented }),
  ),
  ...both('before-after-differences', (width) =>
    beforeAfter(report, {
      width,
      kind: 'comparison',
      title: 'Site against site, before and now',
      notice: invented,
    }),
  ),
  ...both('before-after-nothing', (width) => beforeAfter(same, { width, notice: invented })),
};
