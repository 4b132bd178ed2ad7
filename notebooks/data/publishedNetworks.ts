/**
 * Change in HbA1c in 26 trials of nine drugs and placebo, one with three arms: first less second.
 *
 * Senn S, Gavini F, Magrez D, Scheen A, Stat Methods Med Res 2013;22:169-189; printed figures also from Krahn U, Binder H,
 * König J, BMC Med Res Methodol 2013;13:35 and Rücker G, Schwarzer G, BMC Med Res Methodol 2015;15:58. Data and figures
 * from memory; all of them agree with each other.
 */
export const glucoseTrials: readonly (readonly [
  trial: string,
  treatment: string,
  comparator: string,
  difference: number,
  standardError: number,
])[] = [
  ['DeFronzo 1995', 'metformin', 'placebo', -1.9, 0.1414],
  ['Lewin 2007', 'metformin', 'placebo', -0.82, 0.0992],
  ['Davidson 2007', 'rosiglitazone', 'placebo', -1.34, 0.1435],
  ['Wolffenbuttel 1999', 'rosiglitazone', 'placebo', -1.1, 0.1141],
  ['Kipnes 2001', 'pioglitazone', 'placebo', -1.3, 0.1268],
  ['Kerenyi 2004', 'rosiglitazone', 'placebo', -0.77, 0.1078],
  ['Hanefeld 2004', 'pioglitazone', 'metformin', 0.16, 0.0849],
  ['Derosa 2004', 'pioglitazone', 'rosiglitazone', 0.1, 0.1831],
  ['Baksi 2004', 'rosiglitazone', 'placebo', -1.3, 0.1014],
  ['Rosenstock 2008', 'rosiglitazone', 'placebo', -1.09, 0.2263],
  ['Zhu 2003', 'rosiglitazone', 'placebo', -1.5, 0.1624],
  ['Yang 2003', 'rosiglitazone', 'metformin', -0.14, 0.2239],
  ['Vongthavaravat 2002', 'rosiglitazone', 'sulfonylurea', -1.2, 0.1436],
  ['Oyama 2008', 'acarbose', 'sulfonylurea', -0.4, 0.1549],
  ['Costa 1997', 'acarbose', 'placebo', -0.8, 0.1432],
  ['Hermansen 2007', 'sitagliptin', 'placebo', -0.57, 0.1291],
  ['Garber 2008', 'vildagliptin', 'placebo', -0.7, 0.1273],
  ['Alex 1998', 'metformin', 'sulfonylurea', -0.37, 0.1184],
  ['Johnston 1994', 'miglitol', 'placebo', -0.74, 0.1839],
  ['Johnston 1998a', 'miglitol', 'placebo', -1.41, 0.2235],
  ['Kim 2007', 'rosiglitazone', 'metformin', 0, 0.2339],
  ['Johnston 1998b', 'miglitol', 'placebo', -0.68, 0.2828],
  ['Gonzalez-Ortiz 2004', 'metformin', 'placebo', -0.4, 0.4356],
  ['Stucci 1996', 'benfluorex', 'placebo', -0.23, 0.3467],
  ['Moulin 2006', 'benfluorex', 'placebo', -1.01, 0.1366],
  ['Willms 1999 (three arms)', 'metformin', 'acarbose', -0.2, 0.3579],
  ['Willms 1999 (three arms)', 'metformin', 'placebo', -1.2, 0.3758],
  ['Willms 1999 (three arms)', 'acarbose', 'placebo', -1, 0.4669],
];

export const glucosePrinted = {
  source: 'Senn et al. 2013; Krahn et al. 2013; Rücker and Schwarzer 2015 (from memory)',
  metformin: '-1.1141',
  rosiglitazone: '-1.2018',
  acarbose: '-0.8274',
  sulfonylurea: '-0.4395',
  q: '96.99',
  variance: '0.1087',
  within: '74.46',
  between: '22.53',
  scores: {
    rosiglitazone: '0.8934',
    metformin: '0.7818',
    pioglitazone: '0.7746',
    miglitol: '0.6137',
    acarbose: '0.5203',
    benfluorex: '0.4358',
    vildagliptin: '0.4232',
    sitagliptin: '0.3331',
    sulfonylurea: '0.2103',
    placebo: '0.0139',
  },
} as const;

/**
 * Change in off-time in seven trials in Parkinson disease, one with three arms; treatment 1 is placebo.
 *
 * Dias S, Welton NJ, Sutton AJ, Ades AE. NICE Decision Support Unit Technical Support Document 2, 2011 (from memory).
 */
export const parkinsonArms: readonly (readonly [
  trial: number,
  treatment: string,
  change: number,
  standardError: number,
])[] = [
  [1, '1', -1.22, 0.504],
  [1, '3', -1.53, 0.439],
  [2, '1', -0.7, 0.282],
  [2, '2', -2.4, 0.258],
  [3, '1', -0.3, 0.505],
  [3, '2', -2.6, 0.51],
  [3, '4', -1.2, 0.478],
  [4, '3', -0.24, 0.265],
  [4, '4', -0.59, 0.354],
  [5, '3', -0.73, 0.335],
  [5, '4', -0.18, 0.442],
  [6, '4', -2.2, 0.197],
  [6, '5', -2.5, 0.19],
  [7, '4', -1.8, 0.2],
  [7, '5', -2.1, 0.25],
];

/** Posterior means and standard deviations printed from a simulation, treatment less placebo. */
export const parkinsonPrinted = {
  source: 'Technical Support Document 2 (from memory; from a simulation)',
  effects: { '2': ['-1.85', '0.54'], '3': ['-0.50', '0.66'], '4': ['-0.53', '0.65'], '5': ['-0.83', '0.80'] },
  betweenStudyDeviation: ['0.40', '0.43'],
} as const;
