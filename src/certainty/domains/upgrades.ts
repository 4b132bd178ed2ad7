import { ratioDigits } from '../../wording/numbers.ts';
import type { CertaintyEvidence, DomainProposal } from '../domainProposal.ts';

/** What a body must be before it can be rated up. */
export interface UpgradeSetting {
  readonly startsLow: boolean;
  /** Levels taken down so far, as they count; a body with any is not rated up. */
  readonly down: number;
}

const none = (words: string): DomainProposal => ({ proposed: 0, evidence: [words] });

/**
 * Is the effect so large that faults of design are unlikely to have made all of it?
 *
 * For non-randomised studies that compare sites within the study, with nothing rated down: one level where the whole
 * interval of the risk ratio lies beyond 2 (or below 0.5), two where it lies beyond 5 (or below 0.2). By size and
 * interval; a p-value plays no part, so that a small effect measured exactly never counts.
 *
 * @see Guyatt GH and others, GRADE guidelines 9, J Clin Epidemiol 2011;64:1311 (RR > 2 and > 5). That the whole interval
 *   must lie beyond is our strict reading.
 */
export function largeEffect(
  { question, body }: Pick<CertaintyEvidence, 'question' | 'body'>,
  { startsLow, down }: UpgradeSetting,
): DomainProposal {
  if (question.kind === 'rate') return none('A rate has no effect size.');
  if (body.design === 'series against series')
    return none(
      'Series set against series are not rated up: the difference is between studies, not between sites.',
    );
  const first = body.absolute[0];
  if (first === undefined) return none('No ratio to judge.');
  const ratios = [first.atThatRisk.risk.lower, first.atThatRisk.risk.value, first.atThatRisk.risk.upper].map(
    (risk) => risk / first.baselineRisk,
  );
  const [lower, value, upper] = ratios as [number, number, number];
  const words = `Risk ratio ${ratioDigits(value)} (${ratioDigits(lower)} to ${ratioDigits(upper)}) at the baseline risk`;
  const size = lower > 5 || upper < 0.2 ? 2 : lower > 2 || upper < 0.5 ? 1 : 0;
  if (size === 0) return none(`${words}: its interval does not lie beyond 2, or below 0.5, as a whole.`);
  if (!startsLow) return none(`${words}: large, but the body starts high and is not rated up.`);
  if (down < 0) return none(`${words}: large, but something was rated down, so it is not rated up.`);
  const made = `${words}: the whole interval is ${size === 2 ? 'very large' : 'large'}.`;
  return { proposed: size, evidence: [made], decisive: [made] };
}

/** Dose-response and opposing confounding are never proposed from the data: a person declares them, with a reason. */
export const declaredUpgrade = (name: 'dose-response' | 'opposing confounding'): DomainProposal =>
  none(
    name === 'dose-response'
      ? 'Not looked for in the data: a dose-response counts only where a person declares it.'
      : 'Not looked for in the data: confounding that would have hidden the effect counts only where a person declares it.',
  );
