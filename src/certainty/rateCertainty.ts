import type { RowAddress } from '../extraction/rowAddress.ts';
import type { Caution } from '../pooling/caution.ts';
import { bodyName } from './bodyInWords.ts';
import { nothingAnswers } from './bodyOfEvidence.ts';
import {
  type CertaintyDecision,
  checkDecisions,
  type OpenDecision,
  type ReasonOpen,
  reasonsOpen,
} from './certaintyDecision.ts';
import {
  type CertaintyCeiling,
  type CertaintyDomain,
  type CertaintyLevel,
  type CertaintyRating,
  type CertaintyStep,
  certaintyLevels,
  type DomainJudgement,
  domainsDown,
} from './certaintyRating.ts';
import { type CertaintyRuleOptions, type CertaintyRules, resolveCertaintyRules } from './certaintyRules.ts';
import type { CertaintyEvidence, Domain, DomainProposal } from './domainProposal.ts';
import { imprecision } from './domains/imprecision.ts';
import { inconsistency } from './domains/inconsistency.ts';
import { indirectness } from './domains/indirectness.ts';
import { publicationBias } from './domains/publicationBias.ts';
import { carriedUnjudged, riskOfBias } from './domains/riskOfBias.ts';
import { declaredUpgrade, largeEffect } from './domains/upgrades.ts';
import { effectSizeOf, standardSentence } from './standardSentence.ts';
import { startingLevel } from './startingLevel.ts';

const proposals: Readonly<Record<(typeof domainsDown)[number], Domain>> = {
  'risk of bias': riskOfBias,
  inconsistency,
  indirectness,
  imprecision,
  'publication bias': publicationBias,
};

export interface RateCertaintyOptions {
  readonly rules?: CertaintyRuleOptions;
  /** What people decided; each with its reason. */
  readonly decisions?: readonly CertaintyDecision[];
  /** Decisions that do not count for this body; each keeps the rating from being confirmed. */
  readonly open?: readonly OpenDecision[];
  /** Ratings of other bodies that answer the same question, kept beside this one. */
  readonly others?: readonly CertaintyRating[];
}

/**
 * How sure may a reader be of this answer?
 *
 * From results already at hand: the starting level by the kind of question and body, a proposal for each domain with its
 * evidence, and the decision of a person where there is one. The level is the start plus the levels that count, held
 * between very low and high (low for series set against series, and where studies nobody judged carry the answer); every
 * step stays in sight. A body with anything rated down is not rated up for its size.
 *
 * @throws RangeError for an unknown rule, or a decision without a reason, out of bounds or made twice
 * @see Balshem H and others, GRADE guidelines 3, J Clin Epidemiol 2011;64:401; each domain names its own source.
 * @example
 * rateCertainty(evidence, { decisions }).level // 'low'
 */
export function rateCertainty(
  evidence: CertaintyEvidence,
  options: RateCertaintyOptions = {},
): CertaintyRating {
  const rules = resolveCertaintyRules(options.rules);
  const decisions = options.decisions ?? [];
  checkDecisions(decisions);
  const open = options.open ?? [];
  const { question, body } = evidence;
  const start = startingLevel(evidence, rules);
  const judged = (domain: CertaintyDomain, proposal: DomainProposal): DomainJudgement => {
    const decision = decisions.find((each) => each.domain === domain);
    return {
      domain,
      proposed: proposal.proposed,
      evidence: proposal.evidence,
      ...(proposal.decisive === undefined ? {} : { decisive: proposal.decisive }),
      decided: decision?.levels,
      reason: decision?.reason,
      row: decision?.row,
      levels: decision?.levels ?? proposal.proposed,
    };
  };
  const down = domainsDown.map((domain) => judged(domain, proposals[domain](evidence, rules)));
  const sumDown = down.reduce((sum, { levels }) => sum + levels, 0);
  const up = [
    judged('large effect', largeEffect(evidence, { startsLow: start.level === 'low', down: sumDown })),
    judged('dose-response', declaredUpgrade('dose-response')),
    judged('opposing confounding', declaredUpgrade('opposing confounding')),
  ];
  const domains = [...down, ...up];
  const ceiling = ceilingOf(evidence, rules);
  const size =
    question.kind === 'rate'
      ? undefined
      : effectSizeOf(
          body,
          down.find(({ domain }) => domain === 'imprecision'),
        );
  const { level, steps } = nothingAnswers(body)
    ? { level: undefined, steps: [] }
    : addUp(start, domains, ceiling);
  return {
    kind: 'certainty-rating',
    question,
    start,
    domains,
    ceiling,
    level,
    confirmed:
      level !== undefined &&
      open.length === 0 &&
      domains.every(
        ({ domain, decided, proposed }) =>
          decided !== undefined || (proposed === 0 && !(domainsDown as readonly string[]).includes(domain)),
      ),
    decisionsOpen: open,
    sentence: standardSentence(question, body, level, size),
    rows: uniqueRows([
      ...body.rows,
      ...evidence.quality
        .filter(({ study }) => body.parts.some((part) => part.study === study))
        .flatMap(({ judgement }) => judgement?.rows ?? []),
      ...decisions.flatMap(({ row }) => row ?? []),
    ]),
    cautions: cautionsOf(evidence, rules, domains, { decisions, open }, options.others ?? []),
    body,
    steps,
    effectSize: size,
    others: options.others ?? [],
  };
}

/** No decision turns series into a comparison, or makes studies judged that nobody has judged: both end at low. */
function ceilingOf(evidence: CertaintyEvidence, rules: CertaintyRules): CertaintyCeiling | undefined {
  if (evidence.body.design === 'series against series')
    return { level: 'low', reason: 'Series set against series are not rated above low.' };
  return carriedUnjudged(evidence, rules)
    ? { level: 'low', reason: 'Studies whose quality nobody has judged are not rated above low.' }
    : undefined;
}

/** The start plus the levels that count, held between very low and the ceiling. */
export function addUp(
  start: CertaintyRating['start'],
  domains: readonly Pick<DomainJudgement, 'domain' | 'levels'>[],
  ceiling: CertaintyCeiling = { level: 'high', reason: 'There is nothing above high.' },
): { readonly level: CertaintyLevel; readonly steps: readonly CertaintyStep[] } {
  let sum = certaintyLevels.indexOf(start.level);
  const steps: CertaintyStep[] = [
    { what: 'start', levels: 0, sum, words: `Starts ${start.level}: ${start.reason}` },
  ];
  for (const { domain, levels } of domains) {
    if (levels === 0) continue;
    sum += levels;
    steps.push({ what: domain, levels, sum, words: `${domain}: ${levelsText(levels)}` });
  }
  const held = Math.min(Math.max(sum, 0), certaintyLevels.indexOf(ceiling.level));
  if (held !== sum)
    steps.push({
      what: 'bounds',
      levels: held - sum,
      sum: held,
      words: sum < 0 ? 'There is nothing below very low.' : ceiling.reason,
    });
  return { level: certaintyLevels[held]!, steps };
}

/** "two levels down". */
export function levelsText(levels: number): string {
  if (levels === 0) return 'no change';
  const count = ['', 'one level', 'two levels', 'three levels'][Math.abs(levels)]!;
  return `${count} ${levels < 0 ? 'down' : 'up'}`;
}

function cautionsOf(
  evidence: CertaintyEvidence,
  rules: CertaintyRules,
  domains: readonly DomainJudgement[],
  { decisions, open }: Readonly<Required<Pick<RateCertaintyOptions, 'decisions' | 'open'>>>,
  others: readonly CertaintyRating[],
): readonly Caution[] {
  const { body, quality } = evidence;
  const cautions: Caution[] = [];
  const studies = new Set(body.parts.map(({ study }) => study));
  const unjudged = [...studies].filter(
    (study) => (quality.find((each) => each.study === study)?.concern ?? 'not judged') === 'not judged',
  );
  if (nothingAnswers(body))
    cautions.push({
      code: 'nothing-answers-the-question',
      message: 'No study of the review answers this question.',
    });
  if (unjudged.length > 0)
    cautions.push({
      code: 'quality-not-judged',
      message: `The quality of ${unjudged.length} of ${studies.size} studies is not judged; they are not taken as of low concern.`,
    });
  if (body.studies > 0 && carriedUnjudged(evidence, rules))
    cautions.push({
      code: 'carried-by-unjudged-studies',
      message:
        'Most of the weight is of studies whose quality nobody has judged: the answer is not rated above low, and is no key message, until somebody judges them.',
    });
  if (body.design === 'series against series')
    cautions.push({
      code: 'single-arm-contrast',
      message:
        'Series of one site are set against series of another: no study compared the two, and this is no comparison of the randomised kind.',
    });
  if (others.length > 0)
    cautions.push({
      code: 'several-bodies',
      message: `Rated here: ${bodyName(body.design)}. ${body.design === 'all comparative studies' ? 'Each kind by itself' : 'Rated apart and not mixed in'}: ${others.map((other) => `${other.body.design} (${other.level ?? 'no level'})`).join(', ')}.`,
    });
  for (const why of reasonsOpen) {
    const domainsOpen = [...new Set(open.filter((each) => each.why === why).map(({ domain }) => domain))];
    if (domainsOpen.length > 0)
      cautions.push({
        code: 'decisions-open',
        message: `Not counted, ${openWords[why]}: ${domainsOpen.join(', ')}. The levels are those proposed until it is decided again.`,
      });
  }
  for (const { domain, proposedThen } of decisions) {
    const now = domains.find((each) => each.domain === domain)!.proposed;
    if (proposedThen !== undefined && proposedThen !== now)
      cautions.push({
        code: 'decision-stale',
        message: `The decision on ${domain} was made when the data proposed ${levelsText(proposedThen)}; they now propose ${levelsText(now)}. Decide again.`,
      });
  }
  return cautions;
}

const openWords: Readonly<Record<ReasonOpen, string>> = {
  'another body': 'decided on another body of evidence than the one rated here',
  'the body has changed since': 'decided before the studies, counts or judgements of this body changed',
  'no record of what it held': 'decided without a record of what the body held',
  'no body named': 'decided without naming the body of evidence',
  'the pair the other way round':
    'decided on the same pair the other way round, at the risk of its other site',
};

function uniqueRows(rows: readonly RowAddress[]): readonly RowAddress[] {
  const seen = new Map(rows.map((row) => [`${row.file}:${row.line}`, row]));
  return [...seen.values()];
}
