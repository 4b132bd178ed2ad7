import type { ResolvedNetworkOptions } from './networkOptions.ts';
import type { NetworkCaution, NetworkPart } from './networkResult.ts';
import type { NetworkLeftOut } from './networkStudy.ts';

/** What a reader of the network should know before any number. */
export function networkCautions(
  parts: readonly NetworkPart[],
  leftOut: readonly NetworkLeftOut[],
  options: ResolvedNetworkOptions,
): readonly NetworkCaution[] {
  const cautions: NetworkCaution[] = [];
  const add = (code: NetworkCaution['code'], message: string): void => {
    cautions.push({ code, message });
  };
  const studies = parts.flatMap((part) => part.studies);
  if (studies.length === 0)
    add(
      'nothing-to-compare',
      'No study compares two of these treatments with a value, so there is nothing to estimate.',
    );
  if (parts.length > 1)
    add(
      'disconnected',
      `No chain of studies links all treatments: ${parts.map(({ treatments }) => treatments.join(', ')).join(' | ')}. Each part is analysed by itself, and nothing can be said between them.`,
    );
  for (const part of parts) {
    const names = part.treatments.join(', ');
    const compared = part.comparisons.filter(({ directStudies }) => directStudies > 0);
    if (part.heterogeneity.degreesOfFreedom === 0)
      add(
        'variance-not-estimable',
        `Among ${names} no comparison has a second source, so differences between studies cannot be told from chance${options.model === 'random-effects' ? ' and a between-study variance of zero was used: intervals are too short if studies differ' : ''}.`,
      );
    else if (compared.every(({ directStudies }) => directStudies === 1))
      add(
        'one-study-per-comparison',
        `Among ${names} every comparison rests on a single study; the between-study variance is known from disagreement round loops only.`,
      );
    if (part.treatments.length > 2 && compared.every(({ directShare }) => directShare > 1 - 1e-9))
      add(
        'no-closed-loop',
        `Among ${names} no comparison has both direct and indirect evidence, so agreement between them cannot be checked.`,
      );
    if (options.interval !== 'wald' && !(part.heterogeneity.degreesOfFreedom > 0 && part.solution.q > 0))
      add(
        'interval-method-replaced',
        `Among ${names} there is no scatter to judge intervals by; they are Wald intervals.`,
      );
  }
  const narrowed = parts.filter(
    ({ solution, heterogeneity: { degreesOfFreedom } }) =>
      options.interval === 'hartung-knapp' && solution.q > 0 && solution.q < degreesOfFreedom,
  );
  if (narrowed.length > 0)
    add(
      'hartung-knapp-narrowed',
      'The studies scatter less than their variances allow for, so the Hartung-Knapp standard errors are smaller than the weights allow; the truncated form is the safer choice.',
    );
  const designs = new Set(studies.map(({ design }) => design));
  const [only] = designs;
  if (designs.size === 1 && only !== undefined && studies.length > 0)
    add('one-design-only', `Every study in the network is a ${only}.`);
  const corrected = studies.filter(({ addedToEachCell }) => addedToEachCell > 0);
  if (corrected.length > 0)
    add(
      'correction-added',
      `An amount was added to every cell of ${corrected.length} of ${studies.length} studies because an arm had no events or nothing else; such studies depend on that amount.`,
    );
  if (leftOut.length > 0) {
    const names = new Set(leftOut.map(({ study }) => study));
    add(
      'studies-left-out',
      `${names.size} studies were left out or lost an arm; they are listed with the reason.`,
    );
  }
  return cautions;
}
