import { counted } from '../wording/words.ts';
import type { BinomialNormalFit } from './binomialNormalFit.ts';
import type { Caution } from './caution.ts';
import type { PooledResult } from './pooledResult.ts';
import { materialRatio } from './ratePoolOptions.ts';

const asPercent = (rate: number): string => `${Number((100 * rate).toPrecision(3))} %`;

/**
 * Do the two ways to pool rates disagree enough that a reader must know?
 *
 * Yes when they differ by at least `materialDifference` (a proportion), or when the larger is more than
 * 1.5 times the smaller, counted in events and again in shoulders without the event. Both bounds are common
 * practice, no source; a protocol states its own difference.
 */
export function differMaterially(one: number, other: number, materialDifference: number): boolean {
  if (Math.abs(one - other) >= materialDifference) return true;
  const ratio = (a: number, b: number): number => (a === b ? 1 : Math.max(a, b) / Math.min(a, b));
  return Math.max(ratio(one, other), ratio(1 - one, 1 - other)) > materialRatio;
}

/** Cautions that come from counting events: none or all of them, and the check beside the headline. */
export function cautionsAboutRates(facts: {
  readonly events: number;
  readonly shoulders: number;
  readonly twoStep: PooledResult;
  readonly oneStep: BinomialNormalFit;
  readonly materialDifference: number;
}): Caution[] {
  const { events, shoulders, twoStep, oneStep } = facts;
  const cautions: Caution[] = [];
  if (shoulders > 0 && events === 0) {
    cautions.push({
      code: 'no-events',
      message: `None of ${counted(shoulders, 'shoulder')} had the event: what is known is an upper limit, not a rate of zero.`,
    });
  }
  if (shoulders > 0 && events === shoulders) {
    cautions.push({
      code: 'all-events',
      message: `All of ${counted(shoulders, 'shoulder')} had the event: what is known is a lower limit, not a rate of 100 %.`,
    });
  }
  if (oneStep.status === 'not-converged') {
    cautions.push({
      code: 'one-step-not-converged',
      message: `The one-step model gave no answer to check against. ${oneStep.reason}`,
    });
  }
  if (oneStep.status === 'boundary') {
    cautions.push({ code: 'one-step-at-boundary', message: `One-step model: ${oneStep.reason}` });
  }
  const rate = twoStep.natural?.value;
  if (
    rate !== undefined &&
    oneStep.rate !== undefined &&
    differMaterially(rate, oneStep.rate, facts.materialDifference)
  ) {
    cautions.push({
      code: 'one-step-differs',
      message: `The two-step pool gives ${asPercent(rate)} and the one-step model ${asPercent(oneStep.rate)}: the choice of method matters here, trust neither alone.`,
    });
  }
  return cautions;
}
