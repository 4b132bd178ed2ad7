import { oneStudyOnly } from './binomialNormalFit.ts';
import type { Caution } from './caution.ts';
import type { PooledResult } from './pooledResult.ts';

/** The facts a pool's cautions are decided by. */
export interface PoolFacts {
  readonly estimates: number;
  readonly studies: number;
  readonly identical: boolean;
  readonly addedToEachCell: number;
  readonly corrected: number;
  readonly repeated: readonly string[];
  readonly heaviest: { readonly label: string; readonly weight: number } | undefined;
  readonly leftOut: PooledResult['leftOut'];
}

const percent = (share: number): string => `${Math.round(100 * share)} %`;

/** Cautions that depend on which and how many studies were pooled, not on the method. */
export function cautionsAboutStudies(facts: PoolFacts): Caution[] {
  const cautions: Caution[] = [];
  const { studies } = facts;
  if (facts.estimates === 0) {
    cautions.push({ code: 'nothing-to-pool', message: 'No study could be pooled.' });
  } else if (studies === 1) {
    cautions.push({
      code: 'one-study',
      message: oneStudyOnly,
    });
  } else if (studies < 3) {
    cautions.push({
      code: 'fewer-than-three-studies',
      message:
        'Two studies only: the variation between studies is close to unknowable, and no prediction is made.',
    });
  } else if (studies < 5) {
    cautions.push({
      code: 'fewer-than-five-studies',
      message: `Fewer than five studies (${studies}): the between-study variance, and every interval that rests on it, is rough.`,
    });
  }
  if (facts.leftOut.length > 0) {
    const names = facts.leftOut.map((left) => `${left.label} (${left.reason})`).join('; ');
    cautions.push({ code: 'arms-left-out', message: `Left out of the pool: ${names}.` });
  }
  if (facts.corrected > 0) {
    cautions.push({
      code: 'correction-added',
      message: `${facts.addedToEachCell} was added to each cell of ${facts.corrected} of ${facts.estimates} estimates so that they have a finite value; this moves rare rates upwards.`,
    });
  }
  if (facts.heaviest && studies > 1 && facts.heaviest.weight > 0.5 + 1e-9) {
    cautions.push({
      code: 'one-study-dominates',
      message: `${facts.heaviest.label} carries ${percent(facts.heaviest.weight)} of the weight: the pooled value is mostly that study.`,
    });
  }
  if (facts.identical && facts.estimates > 1) {
    cautions.push({
      code: 'identical-estimates',
      message:
        'All estimates have the same value: there is no scatter to judge the variation between studies from.',
    });
  }
  if (facts.repeated.length > 0) {
    cautions.push({
      code: 'several-arms-of-one-study',
      message: `More than one estimate comes from ${facts.repeated.join(', ')}: they are pooled as if independent, which makes intervals somewhat too short.`,
    });
  }
  return cautions;
}
