import type { ScaleVersion, ScoreDirection, ScoreScale } from './scoreScale.ts';

const version = (
  minimum: number,
  maximum: number,
  better: ScoreDirection,
  units: readonly string[] = ['points'],
  note?: string,
): ScaleVersion => ({ range: { minimum, maximum }, better, units, ...(note === undefined ? {} : { note }) });

const endless = (unit: string, better: ScoreDirection, factor: number): ScaleVersion => ({
  range: undefined,
  better,
  units: [unit],
  factor,
});

type Entry = Pick<ScoreScale, 'id' | 'name' | 'family' | 'versions' | 'source'> &
  Partial<Pick<ScoreScale, 'aliases' | 'rangeMustBeStated' | 'apartBecause' | 'zeroIsNone'>>;

/** The first version is the reference. */
const scale = (entry: Entry): ScoreScale => ({
  aliases: [],
  rangeMustBeStated: false,
  apartBecause: undefined,
  zeroIsNone: false,
  reference: entry.versions[0]!,
  ...entry,
});

const practice = 'common practice, no source';

const uclaNote =
  'The items add up to 2 to 35; papers also print 3 to 35 and 0 to 35, sometimes for the same items. If the range is misquoted, rescaling moves a score by at most 2 points, and by less the better it is.';

/**
 * Scores used after biceps surgery: range, direction, versions that may be pooled, and look-alikes that may not.
 *
 * A modified instrument, or a part of one, is an entry of its own with the reason it stays apart.
 */
export const scaleRegistry: readonly ScoreScale[] = [
  scale({
    id: 'pain-vas',
    name: 'Pain on a visual analogue scale',
    aliases: ['vas', 'vas-pain'],
    family: 'pain',
    versions: [version(0, 100, 'lower', ['mm', 'points']), version(0, 10, 'lower', ['cm', 'points'])],
    rangeMustBeStated: true,
    zeroIsNone: true,
    source: practice,
  }),
  scale({
    id: 'ases',
    name: 'American Shoulder and Elbow Surgeons score',
    family: 'ases',
    versions: [version(0, 100, 'higher')],
    apartBecause: 'half of its points are pain',
    source: 'Richards RR, et al. J Shoulder Elbow Surg 1994;3:347-352 (from memory)',
  }),
  scale({
    id: 'ases-modified',
    name: 'Modified American Shoulder and Elbow Surgeons score (without the pain half)',
    aliases: ['modified-ases', 'mases'],
    family: 'ases',
    versions: [version(0, 100, 'higher')],
    apartBecause: 'it leaves out the pain half of the original',
    source: 'Friedman et al. Orthop J Sports Med 2015 uses it beside the original',
  }),
  scale({
    id: 'sane',
    name: 'Single Assessment Numeric Evaluation (subjective shoulder value)',
    aliases: ['ssv'],
    family: 'sane',
    versions: [version(0, 100, 'higher', ['%', 'points'])],
    source: practice,
  }),
  scale({
    id: 'ucla',
    name: 'University of California Los Angeles shoulder score',
    family: 'ucla',
    versions: [
      version(2, 35, 'higher', ['points'], uclaNote),
      version(3, 35, 'higher', ['points'], uclaNote),
      version(0, 35, 'higher', ['points'], uclaNote),
    ],
    rangeMustBeStated: true,
    source: practice,
  }),
  scale({
    id: 'constant',
    name: 'Constant-Murley score',
    aliases: ['constant-murley'],
    family: 'constant',
    versions: [version(0, 100, 'higher')],
    apartBecause: 'it adds measured motion and strength to the patient’s own answers',
    source: 'Constant CR, Murley AH. Clin Orthop Relat Res 1987;214:160-164 (from memory)',
  }),
  scale({
    id: 'constant-subjective',
    name: 'Constant-Murley score, subjective part alone',
    family: 'constant',
    versions: [version(0, 35, 'higher')],
    apartBecause: 'it holds only the pain and daily-activity items, 35 of the 100 points',
    source: 'Constant CR, Murley AH. Clin Orthop Relat Res 1987;214:160-164 (from memory)',
  }),
  scale({
    id: 'constant-age-adjusted',
    name: 'Constant-Murley score, per cent of normal for age and sex',
    aliases: ['constant-relative'],
    family: 'constant',
    versions: [{ range: undefined, better: 'higher', units: ['%'] }],
    apartBecause:
      'it is divided by what is normal for age and sex, which no formula undoes without the patients',
    source: practice,
  }),
  scale({
    id: 'sst',
    name: 'Simple Shoulder Test',
    family: 'sst',
    versions: [version(0, 12, 'higher', ['points']), version(0, 100, 'higher', ['%', 'points'])],
    rangeMustBeStated: true,
    source: practice,
  }),
  scale({
    id: 'dash',
    name: 'Disabilities of the Arm, Shoulder and Hand',
    family: 'dash',
    versions: [version(0, 100, 'lower')],
    apartBecause: 'it has 30 items where the short form has 11',
    zeroIsNone: true,
    source: 'Hudak PL, et al. Am J Ind Med 1996;29:602-608 (from memory)',
  }),
  scale({
    id: 'quickdash',
    name: 'QuickDASH',
    aliases: ['quick-dash'],
    family: 'dash',
    versions: [version(0, 100, 'lower')],
    apartBecause: 'it has 11 of the 30 items and is not the same number',
    zeroIsNone: true,
    source: 'Beaton DE, et al. J Bone Joint Surg Am 2005;87:1038-1046 (from memory)',
  }),
  scale({
    id: 'lhb',
    name: 'Long Head of Biceps score',
    aliases: ['lhb-score'],
    family: 'lhb',
    versions: [version(0, 100, 'higher')],
    source:
      'pain 30, cramps 20, cosmesis 30 (patient and examiner), flexion strength 20: thesis, Freie Universität Berlin',
  }),
  scale({
    id: 'worc',
    name: 'Western Ontario Rotator Cuff index',
    family: 'worc',
    versions: [
      version(0, 100, 'higher', ['%', 'points'], 'Per cent of the best possible score.'),
      version(0, 2100, 'lower', ['points', 'mm'], 'The sum of 21 lines of 100 mm, where 0 is best.'),
    ],
    rangeMustBeStated: true,
    source: practice,
  }),
  scale({
    id: 'oss',
    name: 'Oxford Shoulder Score',
    family: 'oss',
    versions: [
      version(0, 48, 'higher', ['points'], 'Scored 0 to 4 an item.'),
      version(12, 60, 'lower', ['points'], 'The older scoring, 1 to 5 an item.'),
    ],
    rangeMustBeStated: true,
    source:
      'Dawson J, Rogers K, Fitzpatrick R, Carr A. Arch Orthop Trauma Surg 2009;129:119-123 (from memory)',
  }),
  scale({
    id: 'promis-ue',
    name: 'PROMIS upper extremity function',
    family: 'promis',
    versions: [{ range: undefined, better: 'higher', units: ['T-score'] }],
    source:
      'T-score, mean 50 and standard deviation 10 in the reference population; common practice, no source',
  }),
  scale({
    id: 'strength-percent',
    name: 'Strength as per cent of the other side',
    family: 'strength',
    versions: [{ range: undefined, better: 'higher', units: ['%'] }],
    apartBecause: 'a share of the other arm cannot be made from a force without the other arm’s value',
    zeroIsNone: true,
    source: practice,
  }),
  scale({
    id: 'strength-force',
    name: 'Strength as a force',
    family: 'strength',
    // Standard gravity; a spring balance reads kilograms.
    versions: [endless('N', 'higher', 1), endless('kg', 'higher', 9.80665)],
    rangeMustBeStated: true,
    apartBecause: 'a force says nothing of the other arm, nor of the lever that makes it a torque',
    zeroIsNone: true,
    source: 'standard gravity 9.80665 m/s², 3rd General Conference on Weights and Measures, 1901',
  }),
  scale({
    id: 'strength-torque',
    name: 'Strength as a torque',
    family: 'strength',
    versions: [endless('Nm', 'higher', 1)],
    apartBecause: 'a torque becomes a force only with the length of the lever',
    zeroIsNone: true,
    source: practice,
  }),
  scale({
    id: 'operative-time',
    name: 'Time of the whole operation',
    family: 'operative-time',
    versions: [endless('min', 'lower', 1), endless('h', 'lower', 60)],
    apartBecause: 'it holds everything done in the operation',
    zeroIsNone: true,
    source: practice,
  }),
  scale({
    id: 'operative-time-biceps',
    name: 'Time of the biceps step alone',
    family: 'operative-time',
    versions: [endless('min', 'lower', 1)],
    apartBecause: 'it holds the biceps step alone',
    zeroIsNone: true,
    source: practice,
  }),
];
