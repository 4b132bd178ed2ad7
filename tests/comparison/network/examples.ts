import { networkStudyFromArms } from '../../../src/comparison/network/networkFromArms.ts';
import { networkFromContrasts } from '../../../src/comparison/network/networkFromContrasts.ts';
import type { NetworkStudy } from '../../../src/comparison/network/networkStudy.ts';
import type { ArmEvents } from '../../../src/extraction/armEvents.ts';
import { seededUniform } from '../../../src/numerics/seededUniform.ts';
import { numberIn, published } from '../../published/published.ts';

/** The glucose network as studies. */
export const glucose = (): readonly NetworkStudy[] =>
  networkFromContrasts(
    published('network-glucose-lowering').rows.map((row) => ({
      study: String(row.trial),
      label: String(row.trial),
      treatment: String(row.treatment_1),
      comparator: String(row.treatment_2),
      value: numberIn(row, 'mean_difference'),
      standardError: numberIn(row, 'standard_error'),
    })),
    'plain',
  );

/** The Parkinson network as studies. */
export const parkinson = (): readonly NetworkStudy[] => {
  const { rows } = published('network-parkinson');
  return [...new Set(rows.map((row) => numberIn(row, 'trial')))].map((trial) =>
    networkStudyFromArms(
      { study: String(trial), label: `Trial ${trial}`, scale: 'mean-difference' },
      rows
        .filter((row) => row.trial === trial)
        .map((row) => ({
          treatment: String(row.treatment),
          value: numberIn(row, 'mean_change'),
          variance: numberIn(row, 'standard_error') ** 2,
        })),
    ),
  );
};

/** Arms of invented studies, from rows of study, site or node, events and total. */
export const armsOf = (
  rows: readonly (readonly [study: string, node: string, events: number, total: number])[],
): readonly ArmEvents[] =>
  rows.map(([study, node, events, total], line) => ({
    study,
    label: `Study ${study}`,
    year: 2015,
    arm: `${node}-${line}`,
    site: node as ArmEvents['site'],
    events,
    total,
    followUpMonths: 24,
    definition: 'any',
    assessor: 'examiner',
    design: 'prospective cohort',
    row: { file: 'events.csv', line: line + 2, locator: 'not reported' },
  }));

/** Every arm is its own node, whatever its site. */
export const nodeIsSite = (arm: ArmEvents): string => arm.site;

/** A random network of two- and three-arm studies on some letters, connected by a chain. */
export function randomNetwork(seed: number, treatments = 5, studies = 14): readonly NetworkStudy[] {
  const next = seededUniform(seed);
  const names = Array.from({ length: treatments }, (_, i) => String.fromCharCode(65 + i));
  return Array.from({ length: studies }, (_, s) => {
    const shuffled = [...names].sort((a, b) => (a < b ? next() - 0.5 : 0.5 - next()));
    const chain = s < treatments - 1 ? [names[s]!, names[s + 1]!] : shuffled.slice(0, next() < 0.3 ? 3 : 2);
    return networkStudyFromArms(
      { study: `s${s}`, label: `Study ${s}`, scale: 'plain' },
      chain.map((treatment) => ({
        treatment,
        value: names.indexOf(treatment) * 0.3 + 2 * next(),
        variance: 0.05 + 0.4 * next(),
      })),
    );
  });
}
