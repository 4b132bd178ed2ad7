import { describe, expect, it } from 'vitest';
import { printAnswer } from '../../src/answers/printAnswer.ts';
import { verdictClause } from '../../src/answers/verdictWords.ts';
import { decomposeInconsistency } from '../../src/comparison/network/decomposeInconsistency.ts';
import { leagueTable } from '../../src/comparison/network/leagueTable.ts';
import { loopInconsistency } from '../../src/comparison/network/loopInconsistency.ts';
import { splitNodes } from '../../src/comparison/network/splitNodes.ts';
import { studyContributions } from '../../src/comparison/network/studyContributions.ts';
import { comparePairs } from '../../src/comparison/pairs/comparePairs.ts';
import { contrastSingleArms } from '../../src/comparison/pairs/singleArmContrast.ts';
import { normalQuantile, normalUpperTail } from '../../src/numerics/distributions.ts';
import { notAComparison, poolBySite } from '../../src/pooling/poolBySite.ts';
import {
  contributionsTable,
  leagueAsTable,
  loopsTable,
  networkComparisonsTable,
  pText,
  transitivityTable,
} from '../../src/tables/networkTables.ts';
import {
  absoluteEffectsTable,
  numberNeededText,
  singleArmTable,
  siteLayersReading,
} from '../../src/tables/sitePairTables.ts';
import { tableToText } from '../../src/tables/tableToText.ts';
import { ratioText } from '../../src/wording/ratioText.ts';
import { arms, layers, modifiers, network, splits } from '../figures/network/networkPictures.ts';

const part = network.parts[0]!;

describe('tables of the network', () => {
  it('the league reads the other way round below the diagonal', () => {
    const { rows } = leagueAsTable(leagueTable(part), network.scale);
    expect(rows).toHaveLength(4);
    const ratio = (text: unknown): number => Number.parseFloat(String(text));
    expect(rows[0]?.c0).toBe('\u2013');
    for (let i = 0; i < 4; i++)
      for (let j = 0; j < i; j++)
        expect(Math.abs(ratio(rows[i]?.[`c${j}`]) * ratio(rows[j]?.[`c${i}`]) - 1)).toBeLessThan(0.05);
  });

  it('every pair, loop, study and modifier has its row', () => {
    expect(networkComparisonsTable(network, splits).rows).toHaveLength(6);
    expect(loopsTable(loopInconsistency(part), network.scale).rows).toHaveLength(
      loopInconsistency(part).length,
    );
    expect(contributionsTable(part, studyContributions(part)).rows.map(({ study }) => study)).toEqual(
      part.studies.map(({ label }) => label),
    );
    expect(transitivityTable(modifiers).rows).toHaveLength(6);
    expect(decomposeInconsistency(part).designs.length).toBeGreaterThan(3);
  });

  it('every network estimate has its p value, and split pairs one at the variance of the unsplit network', () => {
    const plain = networkComparisonsTable(network, splits);
    const { comparisons } = part;
    expect(plain.rows.map(({ pNetwork }) => pNetwork)).toEqual(
      // Wald intervals: twice the normal tail, read back from the interval itself.
      comparisons.map(({ network: { value, interval } }) => {
        const standardError = (interval.upper - interval.lower) / (2 * normalQuantile(0.975));
        return pText(2 * normalUpperTail(Math.abs(value) / standardError));
      }),
    );
    const unsplit = splitNodes(part, network.options, { variance: 'unsplit' });
    const both = networkComparisonsTable(network, splits, { unsplit });
    expect(both.rows.map(({ pUnsplit }) => pUnsplit)).toEqual(
      comparisons.map((each) =>
        pText(
          unsplit.find(
            ({ treatment, comparator }) => treatment === each.treatment && comparator === each.comparator,
          )?.pValue,
        ),
      ),
    );
    expect(plain.columns.some(({ key }) => key === 'pUnsplit')).toBe(false);
  });

  it('ratios and p-values are never rounded to nought', () => {
    expect(
      [0, Math.log(0.0123), Math.log(0.00001), Math.log(1e6), Math.log(12.34), Math.log(150)].map(ratioText),
    ).toEqual(['1.00', '0.01', '<0.001', '>9999', '12.3', '150']);
    expect([0, 0.04321, 0.5, undefined].map(pText)).toEqual(['<0.001', '0.043', '0.50', undefined]);
  });
});

describe('tables of pairs', () => {
  it('say at which risk, and carry pairs without an estimate as a note', () => {
    const { rows, notes } = absoluteEffectsTable(comparePairs(arms));
    expect(rows.length).toBeGreaterThan(5);
    expect(notes).toContain('Top of groove against tenotomy: no study gives an estimate.');
  });

  it('the number needed to treat has no largest value where no effect is possible', () => {
    expect(
      numberNeededText({ kind: 'one direction', direction: 'one fewer event', value: 7, from: 5, to: 14 }),
    ).toBe('7 (5 to 14) for one fewer event');
    expect(
      numberNeededText({
        kind: 'both directions',
        direction: 'one fewer event',
        value: 30,
        oneFewer: 12,
        oneMore: undefined,
      }),
    ).toBe('at least 12 for one fewer; no difference is within the interval');
  });

  it('single arms are never shown without the warning', () => {
    expect(tableToText(singleArmTable(contrastSingleArms(poolBySite(arms))))).toContain(notAComparison);
  });

  it('one sentence for each pair, naming the site that has more or fewer', () => {
    const sentences = siteLayersReading(layers);
    expect(sentences).toHaveLength(6);
    for (const [i, { name, answer, singleArmsMislead }] of layers.entries()) {
      expect(sentences[i]).toContain(`${name}: ${verdictClause(answer!)}`);
      expect(sentences[i]).toContain(`(${answer!.certainty.level} certainty, proposed; ${answer!.body})`);
      if (answer!.quoted !== undefined)
        expect(sentences[i]).toContain(`In numbers: ${printAnswer(answer!)}.`);
      expect(sentences[i]!.includes('Single arms claim')).toBe(singleArmsMislead);
    }
    expect(new Set(layers.map(({ answer }) => answer!.verdict)).size).toBeGreaterThan(1);
  });
});
