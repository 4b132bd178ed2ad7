import { fitNetwork } from '../../../src/comparison/network/fitNetwork.ts';
import { leagueTable } from '../../../src/comparison/network/leagueTable.ts';
import { networkStudyFromArms } from '../../../src/comparison/network/networkFromArms.ts';
import type { NetworkStudy } from '../../../src/comparison/network/networkStudy.ts';
import { rankTreatments } from '../../../src/comparison/network/rankTreatments.ts';
import { splitNodes } from '../../../src/comparison/network/splitNodes.ts';
import { seededUniform } from '../../../src/numerics/seededUniform.ts';
import { type Benchmark, type BenchmarkEntry, inProcess } from '../benchmark.ts';

/** Invented studies of two or three arms, every treatment linked to the next by at least one. */
function inventedNetwork(studies: number, treatments: number): readonly NetworkStudy[] {
  const next = seededUniform(studies);
  return Array.from({ length: studies }, (_, s) => {
    const first = s % treatments;
    const second =
      s < treatments
        ? (first + 1) % treatments
        : (first + 1 + Math.floor(next() * (treatments - 1))) % treatments;
    const third = (second + 1) % treatments;
    const own = s % 6 === 5 && third !== first ? [first, second, third] : [first, second];
    return networkStudyFromArms(
      { study: `s${s}`, label: `Study ${s}`, scale: 'log-odds-ratio' },
      own.map((treatment) => ({
        treatment: `t${treatment}`,
        value: -2 + 0.1 * treatment + next(),
        variance: 0.05 + 0.3 * next(),
      })),
    );
  });
}

const whole = (studies: readonly NetworkStudy[]): unknown => {
  const network = fitNetwork(studies);
  const part = network.parts[0]!;
  return [leagueTable(part), splitNodes(part, network.options), rankTreatments(part, { better: 'lower' })];
};

function budget(
  studies: number,
  treatments: number,
  budgetMilliseconds: number,
  withAll: boolean,
): Benchmark {
  const network = inventedNetwork(studies, treatments);
  return {
    kind: 'budget',
    name: `network of ${studies} studies and ${treatments} treatments${withAll ? ', with league, splits and ranks' : ''}`,
    subject: inProcess('fitNetwork', () => (withAll ? whole(network) : fitNetwork(network))),
    budgetMilliseconds,
    rounds: 9,
  };
}

export const entry: BenchmarkEntry = () => [budget(24, 4, 5, true), budget(500, 40, 1000, false)];
