import { type BrokenFile, broken } from './brokenFile.ts';

/** Slips in studies.csv. */
export const brokenStudies: readonly BrokenFile[] = [
  broken('an extra heading', 'studies.csv', 'study,label,year,cohort,', 'study,label,year,colour,', [
    'studies.csv:1:18 error: "colour"; expected a heading of the codebook. Rename the column, or delete it; the codebook lists all headings.',
  ]),
  broken('a cell under no heading', 'studies.csv', 'year,cohort,', 'year,,', [
    'studies.csv:3:26 error: "brun"; expected a heading above the cell. Give its column a heading, or delete the cell.',
  ]),
  broken('a study without an id', 'studies.csv', 'abel-2010,Abel 2010', 'NR,Abel 2010', [
    'arms.csv:2:1 error: study is "abel-2010"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'arms.csv:3:1 error: study is "abel-2010"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'events.csv:2:1 error: study is "abel-2010"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'events.csv:3:1 error: study is "abel-2010"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'judgements.csv:2:1 error: study is "abel-2010"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'scores.csv:2:1 error: study is "abel-2010"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'scores.csv:3:1 error: study is "abel-2010"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'studies.csv:2:1 error: study is "NR"; expected a short name, not a blank. Fill it in, for example: norholt-2014.',
  ]),
  broken('an id with a space', 'studies.csv', 'cilla-2020,Cilla 2020', 'cilla 2020,Cilla 2020', [
    'arms.csv:6:1 error: study is "cilla-2020"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'events.csv:6:1 error: study is "cilla-2020"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'events.csv:7:1 error: study is "cilla-2020"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'studies.csv:4:1 error: study is "cilla 2020"; expected a short name without spaces. Use up to 60 letters, digits, hyphens, dots or underscores, for example: norholt-2014.',
  ]),
  broken('a study twice', 'studies.csv', 'cilla-2020,Cilla 2020', 'abel-2010,Cilla 2020', [
    'arms.csv:6:1 error: study is "cilla-2020"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'events.csv:6:1 error: study is "cilla-2020"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'events.csv:7:1 error: study is "cilla-2020"; expected a study of studies.csv. Correct the name, or add the study to studies.csv.',
    'flow.csv:5:19 warning: count is "3"; expected 2, the distinct cohorts of studies.csv. Check the count, or the cohorts.',
    'studies.csv:4:1 error: study is "abel-2010"; expected a row that is not there already. It repeats line 2: delete one of the two, or correct study where they differ.',
  ]),
  broken(
    'a study without arms',
    'studies.csv',
    'cilla-2020,Cilla 2020,2020,,primary,case series,,',
    'cilla-2020,Cilla 2020,2020,,primary,case series,,\ndora-2021,Dora 2021,2021,,primary,case series,,',
    [
      'flow.csv:4:19 warning: count is "3"; expected 4, the rows of studies.csv. Check the count, or add the missing reports.',
      'flow.csv:5:19 warning: count is "3"; expected 4, the distinct cohorts of studies.csv. Check the count, or the cohorts.',
      'studies.csv:5:1 warning: study is "dora-2021"; expected a study with at least one arm. Add its arms to arms.csv, or delete the study.',
    ],
  ),
  broken(
    'two studies of one cohort',
    'studies.csv',
    'cilla-2020,Cilla 2020,2020,,',
    'cilla-2020,Cilla 2020,2020,brun,',
    [
      'flow.csv:5:19 warning: count is "3"; expected 2, the distinct cohorts of studies.csv. Check the count, or the cohorts.',
      'studies.csv:4:28 warning: cohort is "brun"; expected one report for each cohort. It shares patients with Brun 2015; for each outcome the overlap rule of the protocol keeps one report. If the patients differ, name the cohorts apart.',
    ],
  ),
  broken('a year out of range', 'studies.csv', 'Brun 2015,2015', 'Brun 2015,215', [
    'studies.csv:3:21 error: year is "215"; expected a whole number from 1950 to 2100. Check the paper and the unit in the heading.',
  ]),
  broken(
    'an unknown design',
    'studies.csv',
    '2015,brun,primary,randomised trial',
    '2015,brun,primary,randomized trial',
    [
      'studies.csv:3:39 error: design is "randomized trial"; expected one of "randomised trial", "quasi-randomised trial", "prospective cohort", "retrospective cohort", "case-control" or "case series". Did you mean "randomised trial"? Use a word of the list.',
    ],
  ),
  broken('dates the wrong way round', 'studies.csv', '2010,2012', '2012,2010', [
    'studies.csv:3:61 error: enrolment_end is "2010"; expected a date not before 2012. Check both dates; they may have been swapped.',
  ]),
  broken('enrolment after publication', 'studies.csv', '2010,2012', '2016,2017', [
    'studies.csv:3:56 error: enrolment_start is "2016"; expected a date not after publication in 2015. Check the year of publication and the dates of enrolment.',
  ]),
  broken('an impossible date', 'studies.csv', '2004-01,2007-12', '2004-01,2007-13', [
    'studies.csv:2:64 error: enrolment_end is "2007-13"; expected a date as 2019, 2019-05 or 2019-05-17. Write the year first, then month and day with hyphens.',
  ]),
  broken('a lost character', 'studies.csv', 'Brun 2015', 'Br�n 2015', [
    'studies.csv:3:11 warning: label is "Br�n 2015"; expected readable text. Characters were lost when the sheet was saved: retype them and save as "CSV UTF-8".',
  ]),
  broken('text that looks like a formula', 'studies.csv', 'Brun 2015', '=HYPERLINK(A1)', [
    'studies.csv:3:11 warning: label is "=HYPERLINK(A1)"; expected text rather than a formula. If it is a formula, paste its value; if it is text, leave it: it is never run.',
  ]),
  broken('a year left out', 'studies.csv', 'Brun 2015,2015', 'Brun 2015,', [
    'studies.csv:3:21 error: year is ""; expected a whole number from 1950 to 2100, not a blank. Fill it in, for example: 2014.',
  ]),
];

/** Slips in arms.csv. */
export const brokenArms: readonly BrokenFile[] = [
  broken('an arm whose words name no site', 'arms.csv', 'at the articular margin', 'arthroscopic tenodesis', [
    'arms.csv:2:16 warning: site_as_reported is "arthroscopic tenodesis"; expected words that tell the site. The words name no site. The arm stays visible outside the pools; fill in site_as_classified if the paper tells.',
  ]),
  broken(
    'an arm whose words name two sites',
    'arms.csv',
    'at the articular margin',
    'suprapectoral or subpectoral',
    [
      'arms.csv:2:16 warning: site_as_reported is "suprapectoral or subpectoral"; expected words that tell the site. The words name more than one site: "suprapectoral" and "subpectoral". The arm stays visible outside the pools; fill in site_as_classified if the paper tells.',
    ],
  ),
  broken(
    'words that the distance contradicts',
    'arms.csv',
    'at the articular margin,,,',
    'at the articular margin,,60,articular margin',
    [
      'arms.csv:2:16 warning: site_as_reported is "at the articular margin"; expected words that tell the site. The words say "articular margin". But the distance, 60.0 mm below the articular margin, contradicts it. The arm stays visible outside the pools; fill in site_as_classified if the paper tells.',
    ],
  ),
  broken('an unknown site', 'arms.csv', 'subpectoral,subpectoral', 'subpectoral,sub-pectorale', [
    'arms.csv:3:27 error: site_as_classified is "sub-pectorale"; expected one of "top-of-groove", "suprapectoral", "subpectoral", "tenotomy", "mid-groove", "mid-groove-upper-half", "mid-groove-lower-half", "soft-tissue" or "unclassified". Did you mean "subpectoral"? Use a word of the list.',
  ]),
  broken('more patients than shoulders', 'arms.csv', '39,40,37,38', '41,40,37,38', [
    'arms.csv:2:43 error: patients_enrolled is "41"; expected at most 40, the shoulders enrolled. Each patient has at least one shoulder in the arm: check both numbers.',
  ]),
  broken('more than two shoulders for a patient', 'arms.csv', '200,210,200,210', '200,410,200,210', [
    'arms.csv:6:60 error: shoulders_enrolled is "410"; expected at most 400, two for each patient. Check both numbers against the paper.',
  ]),
  broken('more analysed than enrolled', 'arms.csv', '30,30,28,28', '30,30,30,31', [
    'arms.csv:5:36 error: shoulders_analysed is "31"; expected at most 30, the shoulders enrolled. Check both numbers against the paper.',
  ]),
  broken('a distance without landmark', 'arms.csv', '20,articular margin', '20,', [
    'arms.csv:6:39 warning: distance_from is ""; expected a distance together with its landmark. A distance needs its landmark and a landmark its distance: fill in both, or neither.',
  ]),
  broken('an impossible age', 'arms.csv', '38,54.5', '38,545', [
    'arms.csv:2:55 error: age_mean_years is "545"; expected a number from 10 to 100. Check the paper and the unit in the heading; type NR when the paper does not say.',
  ]),
  broken('an arm of an unknown study', 'arms.csv', 'abel-2010,high,', 'abel-2001,high,', [
    'arms.csv:2:1 error: study is "abel-2001"; expected a study of studies.csv. Did you mean "abel-2010"? Correct the name, or add the study to studies.csv.',
    'events.csv:2:11 error: arm is "high"; expected an arm of this study in arms.csv. Arms of this study: "low". Correct the name, or add the arm to arms.csv.',
    'scores.csv:2:11 error: arm is "high"; expected an arm of this study in arms.csv. Arms of this study: "low". Correct the name, or add the arm to arms.csv.',
  ]),
  broken('an arm without site words', 'arms.csv', 'tenotomy', 'NR', [
    'arms.csv:5:15 warning: site_as_reported is "NR"; expected words that tell the site. The paper does not say where. The arm stays visible outside the pools; fill in site_as_classified if the paper tells.',
  ]),
];

/** Slips in scores.csv. */
export const brokenScores: readonly BrokenFile[] = [
  broken('an unknown scale', 'scores.csv', 'abel-2010,high,pain-vas', 'abel-2010,high,pain-vsa', [
    'scores.csv:2:16 error: scale is "pain-vsa"; expected a scale of protocol.json. Did you mean "pain-vas"? Known scales: "pain-vas"; others are added to protocol.json.',
  ]),
  broken('a value the scale cannot give', 'scores.csv', '38,2.1,1.4', '38,21,1.4', [
    'scores.csv:2:42 error: mean is "21"; expected a value from 0 to 10. Check the value and the range of the scale: the paper may have used another version.',
  ]),
  broken('a range the scale does not have', 'scores.csv', '24,0,10,38', '24,0,50,38', [
    'scores.csv:2:36 error: scale_maximum is "50"; expected a range of the scale. Pain line has the ranges "0 to 10" or "0 to 100": correct scale_minimum and scale_maximum, or add the range to the protocol.',
  ]),
  broken('a range not said', 'scores.csv', '24,0,10,38', '24,NR,NR,38', [
    'scores.csv:2:37 warning: scale_maximum is "NR"; expected the range the paper used. Pain line has the ranges "0 to 10" or "0 to 100": say which one the paper used, or the score cannot be used.',
  ]),
  broken('a spread too wide for the scale', 'scores.csv', '38,2.1,1.4', '38,2.1,14', [
    'scores.csv:2:46 error: sd is "14"; expected at most 5.1. Check the value: no spread on this scale can be so wide.',
  ]),
  broken('a standard error beside a standard deviation', 'scores.csv', '2.1,1.4,', '2.1,1.4,1.4', [
    'scores.csv:2:50 error: se is "1.4"; expected about 0.23. The standard error is the standard deviation over the root of the number of shoulders: check which one the paper prints.',
  ]),
  broken('quartiles the wrong way round', 'scores.csv', '17,8,29', '17,29,8', [
    'scores.csv:3:48 error: median is "17"; expected at least 29, the quartile_lower. Check both against the paper; they may be swapped.',
  ]),
  broken('half an interval', 'scores.csv', '2.1,1.4,,,,', '2.1,1.4,,1.6,,', [
    'scores.csv:2:55 warning: interval_upper is ""; expected both ends of the interval. Fill in the other end, or leave both blank.',
  ]),
  broken('an interval without its confidence', 'scores.csv', '2.1,1.4,,,,', '2.1,1.4,,1.6,2.6,', [
    'scores.csv:2:59 warning: interval_percent is ""; expected the confidence of the interval. Without it the interval cannot be used: type 95 if the paper says so anywhere.',
  ]),
  broken('mean and spread in one cell', 'scores.csv', '38,2.1,1.4', '38,2.1±1.4,', [
    'scores.csv:2:42 error: mean is "2.1±1.4"; expected a number from -10000 to 10000. Type the mean here and the spread in the column for its standard deviation or error.',
  ]),
];

/** Slips in judgements.csv. */
export const brokenJudgements: readonly BrokenFile[] = [
  broken('an item the instrument does not have', 'judgements.csv', 'clear aim', 'clear aims', [
    'judgements.csv:2:18 error: item is "clear aims"; expected an item of MINORS. Did you mean "clear aim"? MINORS has "clear aim", "consecutive patients", "prospective collection", "endpoints fit the aim", "unbiased endpoint assessment", "follow-up long enough", "loss below 5 per cent", "prospective sample size", "adequate control group", "contemporary groups", "baseline equivalence" or "adequate statistics".',
  ]),
  broken('an answer the instrument does not have', 'judgements.csv', 'clear aim,,2', 'clear aim,,3', [
    'judgements.csv:2:29 error: judgement is "3"; expected an answer of MINORS. MINORS is answered with "0", "1" or "2".',
  ]),
  broken('a judgement of an unknown outcome', 'judgements.csv', 'overall,groove-pain', 'overall,groove', [
    'judgements.csv:3:25 error: outcome is "groove"; expected an outcome of protocol.json. Did you mean "groove-pain"? Known outcomes: "groove-pain" or "revision"; leave it blank for all.',
  ]),
];

/** Slips in flow.csv. */
export const brokenFlow: readonly BrokenFile[] = [
  broken(
    'a flow that does not add up',
    'flow.csv',
    'reports excluded,no result by site,7',
    'reports excluded,no result by site,8',
    [
      'flow.csv:4:19 warning: count is "3"; expected 2 in all. reports assessed 10 less reports excluded 8: check the three counts.',
    ],
  ),
  broken('a flow that disagrees with the studies', 'flow.csv', 'studies included,,3', 'studies included,,4', [
    'flow.csv:5:19 warning: count is "4"; expected 3, the distinct cohorts of studies.csv. Check the count, or the cohorts.',
    'flow.csv:5:19 warning: count is "4"; expected at most 3. There cannot be more than the 3 of "reports included": check both.',
  ]),
];
