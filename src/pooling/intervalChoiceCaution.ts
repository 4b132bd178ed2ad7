import type { Caution } from './caution.ts';
import type { MeanInterval } from './poolOptions.ts';

/** What the choice of an interval for the mean depends on. */
export interface IntervalFacts {
  readonly interval: MeanInterval;
  readonly studies: number;
  readonly betweenStudyVariance: number;
  /** Largest weight over smallest. */
  readonly imbalance: number;
}

/**
 * Is the interval around the mean one to rely on, given how many studies there are and how unequal?
 *
 * Wald is too short below about ten studies that differ; Hartung-Knapp holds there, unless few studies of unequal
 * size happen to agree, when the truncated form is advised; with two studies nothing is satisfactory. A weight
 * ratio of 3 is where "unequal" starts here (a convention of this project: the papers give none).
 *
 * Source: IntHout J, Ioannidis JPA, Borm GF, BMC Med Res Methodol 2014;14:25; Röver C, Knapp G, Friede T, BMC Med
 * Res Methodol 2015;15:99.
 */
export function intervalChoiceCaution(facts: IntervalFacts): Caution | undefined {
  const { interval, studies, betweenStudyVariance, imbalance } = facts;
  const unequal = imbalance > 3;
  const say = (message: string): Caution => ({ code: 'interval-choice', message });
  if (studies < 2) return undefined;
  if (studies === 2 && betweenStudyVariance > 0) {
    return say(
      'With two differing studies no interval for the mean is satisfactory: Wald is far too short and the Hartung-Knapp intervals are usually too wide to be of use.',
    );
  }
  if (interval === 'wald' && betweenStudyVariance > 0 && studies < 10) {
    return say(
      `With ${studies} differing studies the Wald interval is usually too short; ${unequal ? 'as their weights are unequal, the truncated Hartung-Knapp' : 'the Hartung-Knapp'} interval holds its level better.`,
    );
  }
  if (interval === 'hartung-knapp' && unequal && studies < 5) {
    return say(
      `With ${studies} studies of unequal weight the Hartung-Knapp interval can still be too short; the truncated form is safer.`,
    );
  }
  return undefined;
}
