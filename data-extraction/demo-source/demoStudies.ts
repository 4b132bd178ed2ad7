import type { StudyDesign } from '../../src/extraction/sheets/studiesSheet.ts';
import type { DemoOutcome, DemoScale } from './demoTruth.ts';

/** Where an arm's tendon really went; `mid`, `soft` and `unclear` follow suprapectoral rates. */
export type DemoSite =
  | 'top'
  | 'supra'
  | 'sub'
  | 'teno'
  | 'mid'
  | 'mid-upper'
  | 'mid-lower'
  | 'soft'
  | 'unclear';

/** A wart of real papers that an arm shows for one outcome. */
export type DemoWart =
  | 'not reported'
  | 'total not reported'
  | 'percent only'
  | 'whole percent only'
  | 'patients only'
  | 'other definition'
  | 'other assessor'
  | 'two assessors'
  | 'two times'
  | 'eligible part';

export interface DemoArm {
  readonly site: DemoSite;
  readonly shoulders: number;
  /** Shoulders beyond one for each patient. */
  readonly bilateral?: number;
  readonly warts?: Readonly<Partial<Record<DemoOutcome, DemoWart>>>;
}

export interface DemoStudy {
  readonly place: string;
  readonly year: number;
  readonly design: StudyDesign;
  readonly months: number;
  readonly arms: readonly DemoArm[];
  readonly outcomes: readonly DemoOutcome[];
  readonly scales?: readonly DemoScale[];
  /** Pain line of 0 to 100 instead of 0 to 10. */
  readonly longPainLine?: boolean;
  /** Medians and quartiles instead of means. */
  readonly medians?: boolean;
  readonly cohort?: string;
  readonly reportKind?: 'primary' | 'follow-up' | 'abstract';
}

const main: readonly DemoOutcome[] = ['cosmetic-deformity', 'groove-pain', 'revision', 'any-revision'];
const noPain: readonly DemoOutcome[] = ['cosmetic-deformity', 'revision', 'any-revision'];
const noDeformity: readonly DemoOutcome[] = ['groove-pain', 'revision', 'any-revision'];
const rct = 'randomised trial' as const;
const prospective = 'prospective cohort' as const;
const retrospective = 'retrospective cohort' as const;
const series = 'case series' as const;

const arm = (site: DemoSite, shoulders: number, more: Omit<DemoArm, 'site' | 'shoulders'> = {}): DemoArm => ({
  site,
  shoulders,
  ...more,
});

/** Every report of the demo. Places are invented. */
// biome-ignore format: a table, one study a line
export const demoStudies: readonly DemoStudy[] = [
  { place: 'Norholt', year: 2009, design: series, months: 31, arms: [arm('top', 1004, { bilateral: 12 })], outcomes: main, scales: ['pain-vas'], longPainLine: true },
  { place: 'Quellmoor', year: 2010, design: retrospective, months: 26, arms: [arm('supra', 58), arm('sub', 64, { bilateral: 1 })], outcomes: main, scales: ['pain-vas', 'ases'] },
  { place: 'Tavistrand', year: 2011, design: rct, months: 24, arms: [arm('supra', 44), arm('teno', 46)], outcomes: main, scales: ['pain-vas', 'constant'] },
  { place: 'Brennik', year: 2011, design: series, months: 18, arms: [arm('sub', 9)], outcomes: main },
  { place: 'Palmora', year: 2012, design: retrospective, months: 36, arms: [arm('top', 120), arm('supra', 131, { bilateral: 3 })], outcomes: main, scales: ['pain-vas', 'ases'], longPainLine: true },
  { place: 'Ducarre', year: 2012, design: series, months: 40, arms: [arm('teno', 210, { bilateral: 4 })], outcomes: [...main, 'nerve-injury'], scales: ['constant'] },
  { place: 'Veldwyk', year: 2013, design: rct, months: 24, arms: [arm('supra', 38), arm('sub', 37), arm('teno', 39)], outcomes: [...main, 'stiffness', 'nerve-injury'], scales: ['pain-vas', 'ases', 'constant'] },
  { place: 'Sarnholm', year: 2013, design: retrospective, months: 29, arms: [arm('mid', 72), arm('sub', 80)], outcomes: main, scales: ['ases'] },
  { place: 'Ilmarra', year: 2014, design: series, months: 22, arms: [arm('sub', 353, { bilateral: 2 })], outcomes: [...main, 'nerve-injury'] },
  { place: 'Kestrelby', year: 2014, design: prospective, months: 24, arms: [arm('teno', 64, { warts: { 'cosmetic-deformity': 'two assessors' } }), arm('top', 58, { warts: { 'cosmetic-deformity': 'two assessors' } })], outcomes: main, scales: ['pain-vas'] },
  { place: 'Morvane', year: 2015, design: retrospective, months: 33, arms: [arm('supra', 240, { warts: { 'groove-pain': 'whole percent only' } })], outcomes: main, scales: ['ases'], medians: true },
  { place: 'Lindaro', year: 2015, design: rct, months: 24, arms: [arm('teno', 30), arm('sub', 31)], outcomes: main, scales: ['pain-vas', 'constant'], medians: true },
  { place: 'Grauwald', year: 2015, design: series, months: 27, arms: [arm('top', 24, { warts: { 'groove-pain': 'eligible part' } })], outcomes: main, scales: ['constant'] },
  { place: 'Halmeria', year: 2016, design: retrospective, months: 45, arms: [arm('teno', 92), arm('supra', 88)], outcomes: noPain, scales: ['ases'] },
  { place: 'Pontavel', year: 2016, design: retrospective, months: 30, arms: [arm('top', 140), arm('supra', 136), arm('sub', 144, { bilateral: 2 })], outcomes: main, scales: ['pain-vas', 'ases'], cohort: 'pontavel-cohort', reportKind: 'primary'},
  { place: 'Pontavel', year: 2018, design: retrospective, months: 52, arms: [arm('supra', 90), arm('sub', 96)], outcomes: main, scales: ['ases'], cohort: 'pontavel-cohort', reportKind: 'follow-up'},
  { place: 'Rimsund', year: 2017, design: series, months: 25, arms: [arm('sub', 188, { warts: { 'cosmetic-deformity': 'other definition' } })], outcomes: main },
  { place: 'Ulvaskog', year: 2017, design: prospective, months: 24, arms: [arm('supra', 52, { warts: { 'groove-pain': 'percent only' } }), arm('teno', 55, { warts: { 'groove-pain': 'percent only' } })], outcomes: main, scales: ['pain-vas'], longPainLine: true },
  { place: 'Yarrowmere', year: 2017, design: series, months: 28, arms: [arm('unclear', 47)], outcomes: main },
  { place: 'Belcastra', year: 2018, design: rct, months: 24, arms: [arm('sub', 34, { warts: { 'cosmetic-deformity': 'two times' } }), arm('teno', 33, { warts: { 'cosmetic-deformity': 'two times' } })], outcomes: [...main, 'stiffness'], scales: ['pain-vas', 'ases'] },
  { place: 'Corvine', year: 2018, design: retrospective, months: 38, arms: [arm('mid-upper', 61), arm('mid-lower', 66)], outcomes: main, scales: ['constant'] },
  { place: 'Elmshore', year: 2018, design: series, months: 20, arms: [arm('top', 12)], outcomes: main },
  { place: 'Galdara', year: 2019, design: retrospective, months: 31, arms: [arm('soft', 40), arm('teno', 43)], outcomes: main, scales: ['pain-vas'] },
  { place: 'Hvitness', year: 2019, design: series, months: 26, arms: [arm('supra', 305, { bilateral: 5 })], outcomes: [...main, 'nerve-injury'], scales: ['ases'] },
  { place: 'Jorvale', year: 2019, design: prospective, months: 24, arms: [arm('top', 76, { warts: { revision: 'not reported' } }), arm('sub', 74, { warts: { revision: 'not reported' } })], outcomes: main, scales: ['pain-vas', 'constant'] },
  { place: 'Krasnava', year: 2020, design: retrospective, months: 34, arms: [arm('teno', 260, { warts: { 'groove-pain': 'patients only' } })], outcomes: main },
  { place: 'Lorrimond', year: 2020, design: rct, months: 24, arms: [arm('supra', 41), arm('sub', 42)], outcomes: [...main, 'stiffness'], scales: ['pain-vas', 'ases'], longPainLine: true, medians: true },
  { place: 'Miravaal', year: 2021, design: series, months: 10, arms: [arm('supra', 36)], outcomes: ['cosmetic-deformity', 'groove-pain', 'stiffness'] },
  { place: 'Nethershaw', year: 2021, design: retrospective, months: 29, arms: [arm('top', 98), arm('teno', 101)], outcomes: noDeformity, scales: ['pain-vas'] },
  { place: 'Oskarra', year: 2022, design: retrospective, months: 42, arms: [arm('sub', 226, { bilateral: 3 }), arm('teno', 230, { warts: { 'cosmetic-deformity': 'total not reported' } })], outcomes: main, scales: ['ases'] },
  { place: 'Prismark', year: 2022, design: series, months: 24, arms: [arm('teno', 11)], outcomes: main, scales: ['constant'] },
  { place: 'Rosavik', year: 2023, design: prospective, months: 24, arms: [arm('mid', 55), arm('top', 57)], outcomes: main, scales: ['pain-vas', 'ases'] },
  { place: 'Stellamar', year: 2024, design: rct, months: 24, arms: [arm('top', 40, { warts: { 'groove-pain': 'other assessor' } }), arm('sub', 41, { warts: { 'groove-pain': 'other assessor' } })], outcomes: [...main, 'stiffness'], scales: ['pain-vas', 'constant'] },
];
