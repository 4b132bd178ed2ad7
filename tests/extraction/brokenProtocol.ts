import { type BrokenFile, broken } from './brokenFile.ts';

/** Slips in protocol.json. */
export const brokenProtocol: readonly BrokenFile[] = [
  broken('JSON with a comma too many', 'protocol.json', '"level": 0.95\n', '"level": 0.95,\n', [
    'protocol.json:54:3 error: "}"; expected JSON. Look for a missing or extra comma, quote or bracket here (unexpected token }).',
  ]),
  broken('a misspelt key', 'protocol.json', '"zeroEvents"', '"zeroEvent"', [
    'protocol.json:51:5 error: "zeroEvent"; expected a key of the protocol. Did you mean "zeroEvents"? Known keys here: "model", "betweenStudyVariance", "interval", "varianceInterval", "prediction", "rateScale", "zeroEvents", "quoted", "studyInterval", "level", "comparisonMeasure", "comparisonBody" or "modelsBeside".',
  ]),
  broken(
    'a correction of the wrong form',
    'protocol.json',
    '"zeroEvents": "leave-out"',
    '"zeroEvents": 0.5',
    [
      'protocol.json:51:19 error: analysis.zeroEvents is "0.5"; expected "leave-out" or { "addToEachCell": a number above 0 and up to 1 }. Say how arms without events are to be treated; nothing is added unasked.',
    ],
  ),
  broken('an unknown rule', 'protocol.json', '"with-suprapectoral"', '"with-suprapectorals"', [
    'protocol.json:9:30 error: siteRule.midGroove is "with-suprapectorals"; expected one of "with-top-of-groove", "with-suprapectoral" or "split-by-half". Did you mean "with-suprapectoral"? Change it; the codebook says what it means.',
  ]),
  broken('an unknown estimator', 'protocol.json', '"dersimonian-laird"', '"dersimonian"', [
    'protocol.json:47:29 error: analysis.betweenStudyVariance is "dersimonian"; expected one of "dersimonian-laird", "two-step-dersimonian-laird", "paule-mandel", "hedges-olkin", "sidik-jonkman", "hunter-schmidt", "maximum-likelihood", "restricted-maximum-likelihood" or "empirical-bayes". Did you mean "dersimonian-laird"? Change it; the codebook says what it means.',
  ]),
  broken('a level as a percentage', 'protocol.json', '"level": 0.95', '"level": 95', [
    'protocol.json:53:14 error: analysis.level is "95"; expected a number below 1. Change it; the codebook says what it means.',
  ]),
  broken('a day that does not exist', 'protocol.json', '2026-06-30', '2026-06-31', [
    'protocol.json:7:17 error: lastSearch is "2026-06-31"; expected a date such as 2026-06-30. Change it; the codebook says what it means.',
  ]),
  broken('a target left out', 'protocol.json', '      "targetMonths": 24,\n', '', [
    'protocol.json:31:17 error: outcomes[1].prefer is "closest-to-target"; expected a target beside "closest-to-target". Add "targetMonths" to the outcome, or prefer "longest".',
  ]),
  broken('a notice left out', 'protocol.json', '  "notice": "Invented data",\n', '', [
    'protocol.json:3:19 error: inventedData is "true"; expected a notice beside invented data. Add "notice": the sentence every page must carry.',
  ]),
  broken(
    'a window upside down',
    'protocol.json',
    '"minimum": 12, "maximum": 60',
    '"minimum": 72, "maximum": 60',
    [
      'protocol.json:19:23 error: outcomes[0].windowMonths is "{ \\"minimum\\": 72, \\"maximum\\": 60 }"; expected a window whose minimum is not above its maximum. Change it; the codebook says what it means.',
    ],
  ),
  broken('an outcome twice', 'protocol.json', '"id": "revision"', '"id": "groove-pain"', [
    'protocol.json:25:13 error: outcomes[1].id is "groove-pain"; expected each outcome once. Rename or delete the second "groove-pain".',
  ]),
  broken(
    'a key twice',
    'protocol.json',
    '"title": "Small review"',
    '"title": "Small review",\n  "title": "Other"',
    ['protocol.json:3:3 error: "\\"title\\""; expected each key once. Delete one of the two "title".'],
  ),
  broken('a text for a number', 'protocol.json', '"targetMonths": 24', '"targetMonths": "24"', [
    'protocol.json:32:23 error: outcomes[1].targetMonths is "24"; expected a number. Change it; the codebook says what it means.',
  ]),
  broken(
    'an unknown kind of outcome',
    'protocol.json',
    '"name": "Revision",\n      "kind": "events"',
    '"name": "Revision",\n      "kind": "event"',
    [
      'protocol.json:27:15 error: outcomes[1].kind is "event"; expected "events" or "score". Change it; the codebook says what it means.',
    ],
  ),
];
