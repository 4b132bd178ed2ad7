import { type BrokenFile, broken } from './brokenFile.ts';

/** Slips in events.csv. */
export const brokenEvents: readonly BrokenFile[] = [
  broken('a count in words', 'events.csv', '24,4,38,10.5', '24,four,38,10.5', [
    'events.csv:2:58 error: events is "four"; expected a whole number, 0 or more. Type digits only, or NR when the paper does not say.',
  ]),
  broken('a count with decimals', 'events.csv', '24,4,38,10.5', '24,4.5,38,10.5', [
    'events.csv:2:58 error: events is "4.5"; expected a whole number, 0 or more. Type the count itself; averages and percentages have columns of their own.',
  ]),
  broken('a negative count', 'events.csv', '24,4,38,10.5', '24,-4,38,10.5', [
    'events.csv:2:58 error: events is "-4"; expected a whole number, 0 or more. Check the paper and the unit in the heading; type NR when the paper does not say.',
  ]),
  broken('count and total in one cell', 'events.csv', '24,4,38,10.5', '24,4/38,38,10.5', [
    'events.csv:2:58 error: events is "4/38"; expected a whole number, 0 or more. Type the two numbers in their own columns, events and eligible shoulders.',
  ]),
  broken('count and percentage in one cell', 'events.csv', '24,4,38,10.5', '24,4 (10.5%),38,10.5', [
    'events.csv:2:58 error: events is "4 (10.5%)"; expected a whole number, 0 or more. Type one number here and the number in brackets in its own column.',
  ]),
  broken('a bound instead of a count', 'events.csv', '24,4,38,10.5', '24,<5,38,10.5', [
    'events.csv:2:58 error: events is "<5"; expected a whole number, 0 or more. A bound is not a value: leave the cell NR and copy the printed words into the notes.',
  ]),
  broken('a thousands separator', 'events.csv', '24,4,38,10.5', '24,"1,083",38,10.5', [
    'events.csv:2:58 error: events is "1,083"; expected a whole number, 0 or more. Type 1083 without a thousands separator, if that is the count.',
  ]),
  broken('a number turned into a date', 'events.csv', '24,4,38,10.5', '24,04-Mar,38,10.5', [
    'events.csv:2:58 error: events is "04-Mar"; expected a whole number, 0 or more. The spreadsheet turned a number into a date: format the column as text and type it again.',
  ]),
  broken('a formula without its result', 'events.csv', '24,4,38,10.5', '24,=SUM(G3:G9),38,10.5', [
    'events.csv:2:58 error: events is "=SUM(G3:G9)"; expected a whole number, 0 or more. The file holds a formula, not its result: copy the cell and paste it as a value.',
  ]),
  broken('a spreadsheet error code', 'events.csv', '24,4,38,10.5', '24,#REF!,38,10.5', [
    'events.csv:2:58 error: events is "#REF!"; expected a whole number, 0 or more. The spreadsheet could not work this out: type the value from the paper.',
  ]),
  broken('a column too narrow when saved', 'events.csv', '24,4,38,10.5', '24,####,38,10.5', [
    'events.csv:2:58 error: events is "####"; expected a whole number, 0 or more. The column was too narrow when it was saved: widen it and save again.',
  ]),
  broken('events over total', 'events.csv', '24,4,38,10.5', '24,39,38,', [
    'events.csv:2:58 error: events is "39"; expected at most 38, the eligible_shoulders. Check the paper: the two may be swapped, or the count may be of another group than eligible_shoulders.',
  ]),
  broken('nobody eligible', 'events.csv', '24,0,40,0,', '24,0,0,,', [
    'events.csv:3:59 error: eligible_shoulders is "0"; expected at least one shoulder. Delete the row when nobody could have had the event, or type NR when the paper does not say how many.',
  ]),
  broken('more eligible than enrolled', 'events.csv', '24,4,38,10.5', '24,4,41,', [
    'events.csv:2:60 error: eligible_shoulders is "41"; expected at most the 40 of the arm. Line 2 of arms.csv has shoulders_enrolled 40: check both against the paper.',
  ]),
  broken('more eligible than analysed', 'events.csv', '24,4,38,10.5', '24,4,39,', [
    'events.csv:2:60 warning: eligible_shoulders is "39"; expected at most the 38 analysed in the arm. Line 2 of arms.csv has shoulders_analysed 38: say in eligible_rule why more could be counted, or correct one of them.',
  ]),
  broken('a percentage no whole count gives', 'events.csv', '24,3,30,10,', '24,NR,30,11,', [
    'events.csv:4:63 error: percent is "11"; expected a percentage that some whole count of 30 shoulders gives. Check eligible_shoulders against the paper. If the paper itself contradicts this, leave percent blank and copy its words into quote.',
  ]),
  broken('a percentage that contradicts the count', 'events.csv', '24,3,30,10,', '24,3,30,13.3,', [
    'events.csv:4:62 error: percent is "13.3"; expected 10.0, which events and eligible_shoulders give. 3 of 30 is 10.0 %; 13.3 % would be 4. Check all three. If the paper itself contradicts this, leave percent blank and copy its words into quote.',
  ]),
  broken('a percentage over 100', 'events.csv', '24,3,30,10,', '24,3,30,110,', [
    'events.csv:4:62 error: percent is "110"; expected a number from 0 to 100. Check the paper and the unit in the heading; type NR when the paper does not say.',
  ]),
  broken('a percentage that only one count gives', 'events.csv', '24,3,30,10,', '24,NR,30,10,', [
    'events.csv:4:57 warning: events is "NR"; expected the count beside its percentage. The count 3 of 30 is worked out from it, the only one that prints as 10 %. Type it if the paper confirms it.',
  ]),
  broken('a percentage that several counts give', 'events.csv', '36,21,210,10.0', '36,,210,10', [
    'events.csv:6:61 warning: events is ""; expected the count beside its percentage. The row is left out: 3 whole counts of 210 print as 10 %. Look for the count in the text.',
  ]),
  broken('more patients with the event than shoulders', 'events.csv', '36,2,210,,,', '36,2,210,,3,200', [
    'events.csv:7:54 error: event_patients is "3"; expected at most 2, the events. Check the paper: the two may be swapped, or the count may be of another group than events.',
  ]),
  broken('an unknown study', 'events.csv', 'abel-2010,high,groove', 'abel-2011,high,groove', [
    'events.csv:2:1 error: study is "abel-2011"; expected a study of studies.csv. Did you mean "abel-2010"? Correct the name, or add the study to studies.csv.',
  ]),
  broken('an unknown arm', 'events.csv', 'abel-2010,high,groove', 'abel-2010,hihg,groove', [
    'events.csv:2:11 error: arm is "hihg"; expected an arm of this study in arms.csv. Did you mean "high"? Arms of this study: "high" or "low". Correct the name, or add the arm to arms.csv.',
  ]),
  broken('an unknown outcome', 'events.csv', 'abel-2010,high,groove-pain', 'abel-2010,high,grove pain', [
    'events.csv:2:16 error: outcome is "grove pain"; expected an outcome of protocol.json counted as events. Did you mean "groove-pain"? Outcomes counted as events: "groove-pain" or "revision"; others are added to protocol.json.',
  ]),
  broken('an outcome nobody defined', 'events.csv', 'abel-2010,high,groove-pain', 'abel-2010,high,stroke', [
    'events.csv:2:16 error: outcome is "stroke"; expected an outcome of protocol.json counted as events. Outcomes counted as events: "groove-pain" or "revision"; others are added to protocol.json.',
  ]),
  broken(
    'a definition the protocol does not accept',
    'events.csv',
    'abel-2010,high,groove-pain,groove tenderness',
    'abel-2010,high,groove-pain,groove tendernes',
    [
      'events.csv:2:28 warning: definition is "groove tendernes"; expected a definition the protocol accepts. Did you mean "groove tenderness"? The protocol accepts "groove tenderness" or "pain over the groove"; a row with other words stays in the list of rows left out.',
    ],
  ),
  broken(
    'an assessor the protocol does not accept',
    'events.csv',
    'tenderness,examiner,24,4',
    'tenderness,surgeon,24,4',
    [
      'events.csv:2:46 warning: assessor is "surgeon"; expected an assessor the protocol accepts. The protocol accepts "examiner" or "patient"; a row with other words stays in the list of rows left out.',
    ],
  ),
  broken(
    'a row twice',
    'events.csv',
    'abel-2010,low,groove-pain',
    'abel-2010,high,groove-pain,groove tenderness,examiner,24,5,38,,,\nabel-2010,low,groove-pain',
    [
      'events.csv:3:1 error: study is "abel-2010"; expected a row that is not there already. It repeats line 2: delete one of the two, or correct study, arm, outcome, definition, assessor or follow_up_months where they differ.',
    ],
  ),
  broken('follow-up in another unit', 'events.csv', 'examiner,24,4', 'examiner,24 mo,4', [
    'events.csv:2:55 error: follow_up_months is "24 mo"; expected a number from 0 to 600. Type the number alone; the unit stands in the heading.',
  ]),
  broken('an unknown heading', 'events.csv', 'eligible_shoulders', 'eligible_shouldres', [
    'events.csv:1:63 error: "eligible_shouldres"; expected a heading of the codebook. Did you mean "eligible_shoulders"? Rename the column, or delete it; the codebook lists all headings.',
  ]),
  broken('a heading twice', 'events.csv', 'percent,event_patients', 'percent,percent', [
    'events.csv:1:90 error: "percent"; expected each heading once. Delete one of the two columns "percent", or rename it.',
  ]),
  broken('a missing heading', 'events.csv', 'definition,', '', [
    'events.csv:1:1 error: ""; expected the heading "definition". Add the column "definition"; its cells may say NR where the codebook allows a blank.',
  ]),
  broken('a row too long', 'events.csv', '24,4,38,10.5,,', '24,4,38,10,5,,,x', [
    'events.csv:2:70 error: "x"; expected nothing after the 11 headed columns. Delete the cell, or put quotes around a cell that holds the separator (a decimal comma or a comma in a text).',
  ]),
  broken('a row too short', 'events.csv', '24,4,38,10.5,,', '24,4,38', [
    'events.csv:2:60 error: "38"; expected 11 cells in the row, not 8. Add the missing separators, one before each blank cell; saving from a spreadsheet does it by itself.',
  ]),
  broken(
    'a quote never closed',
    'events.csv',
    'cilla-2020,only,revision,reoperation',
    'cilla-2020,only,revision,"reoperation',
    [
      'events.csv:7:26 error: "\\"reoperation,chart,36,2,210,,,"; expected a closing quote before the end of the file. Add the closing quote where the cell ends; a quote that belongs to the text is typed twice.',
    ],
  ),
  broken(
    'text after a closing quote',
    'events.csv',
    'cilla-2020,only,revision,reoperation',
    'cilla-2020,only,revision,"re"operation',
    [
      'events.csv:7:26 error: "\\"re\\"operation"; expected nothing between the closing quote and the next separator. Type each quote that belongs to the text twice, and put the whole cell in quotes.',
      'events.csv:7:26 warning: definition is "\\"re\\"operation"; expected a definition the protocol accepts. Did you mean "reoperation"? The protocol accepts "reoperation"; a row with other words stays in the list of rows left out.',
    ],
  ),
];
