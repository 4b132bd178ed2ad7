import type { Answer } from '../../answers/answer.ts';
import type { OutcomeCounts, ReviewAnswers } from '../../answers/answersOf.ts';
import { type PairToTell, pairToTell } from '../../answers/pairToTell.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { type PooledSite, pooledSites } from '../../extraction/site.ts';

/** One outcome's answers, as far as a talk needs them. */
export interface OutcomeEvidence extends OutcomeCounts {
  /** How often at one site; undefined for a site the review does not ask about. */
  readonly rateOf: (site: PooledSite) => Answer | undefined;
  /** Two sites against each other, told in the order they are named. */
  readonly pairOf: (treatment: PooledSite, comparator: PooledSite) => PairToTell;
}

/** The answers on one outcome. */
export function outcomeEvidence(answers: ReviewAnswers, id: string): OutcomeEvidence {
  return {
    ...answers.counts(id),
    rateOf: (site) => {
      const asked = answers.questions.find(
        (question) => question.kind === 'rate' && question.outcome === id && question.site === site,
      );
      return asked && answers.to(asked);
    },
    pairOf: (treatment, comparator) => pairToTell(answers, id, treatment, comparator),
  };
}

/**
 * The pair of sites a talk compares when nobody names one: the one that most studies set against each other within
 * themselves, on a tie the one with more shoulders.
 */
export function leadingPair(
  answers: ReviewAnswers,
  { outcome }: OutcomeEvidence,
): readonly [PooledSite, PooledSite] {
  const ranked = answers.questions
    .flatMap((question) => {
      if (question.kind !== 'comparison' || question.outcome !== outcome.id) return [];
      const answer = answers.to(question);
      const bodies = [answer, ...answer.otherBodies].filter(({ body }) => body !== 'series against series');
      return [
        {
          pair: [question.site, question.comparator] as const,
          studies: bodies.reduce((sum, { studies }) => sum + studies, 0),
          shoulders: bodies.reduce((sum, { shoulders }) => sum + shoulders, 0),
        },
      ];
    })
    .sort((one, other) => other.studies - one.studies || other.shoulders - one.shoulders);
  return ranked[0]?.pair ?? [pooledSites[0], pooledSites[1]];
}

/** Distinct studies among arms. */
export const studiesOf = (arms: readonly ArmEvents[]): number => new Set(arms.map(({ study }) => study)).size;

/** Studies with arms at two of the sites or more. */
export function comparingStudies(arms: readonly ArmEvents[]): number {
  const sites = new Map<string, Set<string>>();
  for (const { study, site } of arms)
    if ((pooledSites as readonly string[]).includes(site))
      sites.set(study, (sites.get(study) ?? new Set()).add(site));
  return [...sites.values()].filter(({ size }) => size >= 2).length;
}
