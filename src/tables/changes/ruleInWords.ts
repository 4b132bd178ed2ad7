import type { RuleChange } from '../../extraction/changes/reviewChanges.ts';
import { capital } from '../../wording/words.ts';

/** What the keys of a protocol decide, as a committee says it. A key without words is split into its own. */
const keyWords: Readonly<Record<string, string>> = {
  'windowMonths.minimum': 'earliest month counted',
  'windowMonths.maximum': 'latest month counted',
  definitions: 'definitions accepted',
  assessors: 'assessors accepted',
  prefer: 'time point that counts',
  targetMonths: 'month aimed at',
  better: 'direction that is good',
  'thresholdsPer100.materialDifference': 'smallest difference that matters, in 100',
  'thresholdsPer100.moderateDifference': 'moderate difference, in 100',
  'thresholdsPer100.largeDifference': 'large difference, in 100',
  'thresholdsPoints.materialDifference': 'smallest difference that matters, in points',
  scales: 'scales accepted',
  valueTypes: 'kinds of value accepted',
  sites: 'order of the sites',
  'siteRule.midGroove': 'where fixation in the middle of the groove counts',
  overlapRule: 'which report counts when several describe the same patients',
  designs: 'study designs that count',
  'analysis.model': 'model',
  'analysis.betweenStudyVariance': 'estimator of the variance between studies',
  'analysis.interval': 'interval of the pooled mean',
  'analysis.varianceInterval': 'interval of the variance between studies',
  'analysis.prediction': 'interval for a new study',
  'analysis.rateScale': 'scale on which rates are pooled',
  'analysis.zeroEvents': 'arms without events',
  'analysis.zeroEvents.addToEachCell': 'added to each cell of arms without events',
  'analysis.studyInterval': "interval of each study's own rate",
  'analysis.comparisonMeasure': 'measure by which two sites are compared',
  'analysis.comparisonBody': 'trials and other studies of a comparison',
  'analysis.modelsBeside': 'common and random effects side by side',
  'analysis.level': 'coverage of the intervals',
};

const spaced = (key: string): string =>
  key
    .replace(/[.[\]-]+/g, ' ')
    .replace(/([a-z0-9])([A-Z])/g, (_, end: string, start: string) => `${end} ${start.toLowerCase()}`)
    .trim();

/** A value of the protocol without the marks of its file format; what does not parse stays as it is. */
function valueInWords(text: string | undefined): string {
  if (text === undefined) return 'not stated';
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return text;
  }
  if (typeof value === 'string') return value;
  if (Array.isArray(value) && value.every((each) => typeof each === 'string')) return value.join(', ');
  return text;
}

/**
 * One changed rule, said to people: what it decides, before and now.
 *
 * @example
 * ruleInWords({ path: 'outcomes[groove-pain].windowMonths.minimum', before: '24', after: '12' })
 * // 'Groove pain, earliest month counted: 12 (before: 24)'
 */
export function ruleInWords({ path, before, after }: Pick<RuleChange, 'path' | 'before' | 'after'>): string {
  const [, id, key = path] = /^(?:outcomes|scales)\[([^\]]+)\]\.(.+)$/.exec(path) ?? [];
  const words = keyWords[key] ?? spaced(key);
  const what = id === undefined ? capital(words) : `${capital(spaced(id))}, ${words}`;
  return `${what}: ${valueInWords(after)} (before: ${valueInWords(before)})`;
}
