import { demoRandom } from './demoRandom.ts';
import { studyId } from './demoRows.ts';
import type { DemoArm, DemoStudy } from './demoStudies.ts';

/** One arm in ten does not say how many had a cuff repair. */
const silentShare = 0.1;

/** A cuff repair share and whether the paper prints it. */
export interface DemoCuffRepair {
  readonly percent: number;
  readonly reported: boolean;
}

/**
 * Share of an arm that had a rotator cuff repair in the same operation, %.
 *
 * Confounding by indication, made up: a surgeon who is inside the joint to mend a cuff fixes the tendon at the top of
 * the groove while there. Outside trials, those arms have had far more cuff repairs (70 to 100 %) than the others (0
 * to 40 %); one top-of-groove arm in six and one other arm in seven are the other way about. A trial allots the site
 * by chance, so its arms share one figure.
 */
export function cuffRepair(seed: number, study: DemoStudy, arm: DemoArm): DemoCuffRepair {
  const trial = study.design === 'randomised trial';
  const random = demoRandom(seed, `${studyId(study)}/${trial ? '' : arm.site}/cuff-repair`);
  const unusual = random.uniform();
  const place = random.uniform();
  const many = trial ? false : arm.site === 'top' ? unusual > 1 / 6 : unusual < 1 / 7;
  return {
    percent: Number((many ? 70 + 30 * place : 40 * place).toFixed(1)),
    reported: random.uniform() >= silentShare,
  };
}
