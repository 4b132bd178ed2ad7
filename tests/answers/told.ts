import type { Answer } from '../../src/answers/answer.ts';
import { type PairRisks, type PairToTell, turnVerdict } from '../../src/answers/pairToTell.ts';
import { verdictOnDifference } from '../../src/answers/verdict.ts';
import type { CertaintyLevel } from '../../src/certainty/certaintyRating.ts';
import { inSiteOrder, type PooledSite, siteNames } from '../../src/extraction/site.ts';

export interface ToldParts {
  readonly treatment?: PooledSite;
  readonly comparator?: PooledSite;
  /** First less second, as proportions; left out: no number. */
  readonly difference?: readonly [lower: number, upper: number];
  readonly ratio?: readonly [lower: number, upper: number];
  /** Risk of the second site, with the first following from it. */
  readonly risk?: number;
  readonly certainty?: CertaintyLevel;
  readonly material?: number;
  /** Studies that hold both sites. */
  readonly studies?: number;
}

const middle = ([lower, upper]: readonly [number, number]) => ({ value: (lower + upper) / 2, lower, upper });

/** A pair as an answer tells it, made up from its numbers for tests of what is said with them. */
export function toldPair(parts: ToldParts): PairToTell {
  const { treatment = 'subpectoral', comparator = 'tenotomy', certainty = 'low', material = 5 } = parts;
  const [site, other] = inSiteOrder(treatment, comparator);
  const turned = site !== treatment;
  const told = parts.difference && middle(parts.difference);
  const way = turned ? -1 : 1;
  const limits = told && [100 * way * told.lower, 100 * way * told.upper].sort((a, b) => a - b);
  const studies = parts.studies ?? (told === undefined ? 0 : 3);
  const interval = limits && { lower: limits[0]!, upper: limits[1]! };
  const verdict = verdictOnDifference({ interval, material, certainty: told && certainty });
  const risk = parts.risk ?? 0.3;
  const answer: Answer = {
    kind: 'answer',
    id: `comparison:deformity:${site}:${other}`,
    asPlanned: true,
    question: { kind: 'comparison', outcome: 'deformity', site, comparator: other },
    outcomeName: 'Cosmetic deformity',
    name: `${siteNames[site]} against ${siteNames[other].toLowerCase()}`,
    unit: 'per 100 shoulders',
    material,
    body: studies === 0 ? 'series against series' : 'randomised trials',
    bodyRule: 'made up',
    otherBodies: [],
    studies,
    shoulders: 60 * studies,
    events: 6 * studies,
    notInNumber: [],
    quoted: told &&
      interval && {
        value: 100 * way * told.value,
        ...interval,
        level: 0.95,
        prediction: undefined,
        unit: 'per 100 shoulders',
        estimand: 'centre on the scale',
        method: 'made up',
        why: 'made up',
        coverage: undefined,
        relative: undefined,
      },
    otherMethods: [],
    risk: undefined,
    certainty: {
      level: told && certainty,
      proposed: told && certainty,
      confirmed: false,
      body: 'randomised trials',
    },
    verdict,
    sentence: 'made up',
    cautions: [],
    rows: [],
    behind: {},
  };
  const risks: PairRisks | undefined = told && {
    treatment: risk + told.value,
    comparator: risk,
    difference: told,
    riskOf: other,
    held: turned ? 'treatment' : 'comparator',
    source: 'made up',
    riskInterval: { lower: risk / 2, upper: Math.min(1, 2 * risk) },
    riskKnown: false,
    limits: {
      treatment: { lower: 0, upper: 1 },
      comparator: { lower: risk / 2, upper: Math.min(1, 2 * risk) },
    },
  };
  return {
    treatment,
    comparator,
    name: `${siteNames[treatment]} against ${siteNames[comparator].toLowerCase()}`,
    answer,
    studies,
    turned,
    verdict: turned ? turnVerdict(verdict) : verdict,
    risks,
    ratio: parts.ratio && middle(parts.ratio),
  };
}
