import { siteNames } from '../extraction/site.ts';
import type { MissingBounds } from '../robustness/missing/missingBounds.ts';
import type { MissingEvidence } from '../robustness/missing/missingEvidence.ts';
import type { MissingJudgement } from '../robustness/missing/missingJudgement.ts';
import { percentDigits } from './rateText.ts';
import { type Table, table } from './table.ts';

/** How many studies report each outcome, and in which way not. */
export function missingTable(evidence: MissingEvidence, options: { readonly caption?: string } = {}): Table {
  return table({
    caption: options.caption ?? 'Studies with and without each outcome',
    columns: [
      { key: 'outcome', heading: 'Outcome' },
      { key: 'used', heading: 'In the analysis', align: 'right' },
      { key: 'elsewhere', heading: 'In another report', align: 'right' },
      { key: 'otherwise', heading: 'Reported otherwise', align: 'right' },
      { key: 'without', heading: 'Without a number', align: 'right' },
      { key: 'silent', heading: 'Not reported', align: 'right' },
    ],
    rows: evidence.outcomes.map(({ name, studies }) => ({
      outcome: name,
      used: studies.used,
      elsewhere: studies['in another report'],
      otherwise: studies['reported otherwise'],
      without: studies['without a number'],
      silent: studies['not reported'],
    })),
  });
}

/** The rate at each site if the missing results were all as good, or all as bad, as they can be. */
export function missingBoundsTable(
  bounds: readonly MissingBounds[],
  options: { readonly caption?: string } = {},
): Table {
  const percent = (rate: number | undefined): string | undefined =>
    rate === undefined ? undefined : percentDigits(rate);
  return table({
    caption: options.caption ?? 'What the missing results could do, per 100 shoulders',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'arms', heading: 'Arms without a count', align: 'right' },
      { key: 'shoulders', heading: 'Their shoulders', align: 'right' },
      { key: 'reported', heading: 'Reported', align: 'right' },
      { key: 'none', heading: 'If none had it', align: 'right' },
      { key: 'twice', heading: 'If at twice the odds', align: 'right' },
      { key: 'all', heading: 'If all had it', align: 'right' },
      { key: 'pooled', heading: 'Pooled: none, reported, all', align: 'right' },
    ],
    rows: bounds.map(({ site, missing, missingShoulders, unknownSize, scenarios, pooled }) => ({
      site: siteNames[site],
      arms: missing.length,
      shoulders:
        unknownSize === 0 ? missingShoulders : `${missingShoulders} and ${unknownSize} arms of unknown size`,
      reported: percent(scenarios.find(({ oddsRatio }) => oddsRatio === 1)?.rate),
      none: percent(scenarios[0]?.rate),
      twice: percent(scenarios.find(({ oddsRatio }) => oddsRatio === 2)?.rate),
      all: percent(scenarios.at(-1)?.rate),
      pooled: [pooled.best, pooled.reported, pooled.worst]
        .map(({ headline }) => (headline === undefined ? 'none' : percentDigits(headline.rate)))
        .join(', '),
    })),
    notes: [
      'All shoulders together, but for the last column, which pools as the analysis does. Arms whose patients are in another report used are not missing.',
    ],
  });
}

/** Recorded judgements of missing evidence. */
export function missingJudgementTable(
  judgements: readonly MissingJudgement[],
  options: { readonly caption?: string } = {},
): Table {
  const cell = (judged: { readonly answer: string } | undefined): string => judged?.answer ?? 'not judged';
  return table({
    caption: options.caption ?? 'Risk of bias from missing evidence, as judged',
    columns: [
      { key: 'outcome', heading: 'Outcome' },
      { key: 'known', heading: 'Results known to be missing' },
      { key: 'studies', heading: 'Studies likely missing' },
      { key: 'pattern', heading: 'Pattern of results' },
      { key: 'overall', heading: 'Overall' },
    ],
    rows: judgements.map(({ name, answers, overall, overridden }) => ({
      outcome: name,
      known: cell(answers.knownMissingResults),
      studies: cell(answers.likelyMissingStudies),
      pattern: cell(answers.patternOfResults),
      overall: overridden ? `${overall} (reviewers' own)` : overall,
    })),
  });
}
