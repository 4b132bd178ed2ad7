// Cautions of a network on both sides of each border, from the words of each.
import { describe, expect, it } from 'vitest';
import { networkCautions } from '../../../src/comparison/network/networkCautions.ts';
import {
  type NetworkOptions,
  resolveNetworkOptions,
} from '../../../src/comparison/network/networkOptions.ts';
import type { NetworkPart } from '../../../src/comparison/network/networkResult.ts';
import type { NetworkLeftOut } from '../../../src/comparison/network/networkStudy.ts';

interface Facts {
  readonly treatments?: readonly string[];
  /** Studies and share of the direct evidence of each comparison. */
  readonly direct?: readonly (readonly [studies: number, share: number])[];
  readonly degreesOfFreedom?: number;
  readonly q?: number;
  readonly designs?: readonly string[];
  readonly added?: readonly number[];
}
const part = ({
  treatments = ['tenotomy', 'subpectoral', 'suprapectoral'],
  direct = [
    [2, 0.7],
    [1, 0.6],
    [1, 0.5],
  ],
  degreesOfFreedom = 2,
  q = 3,
  designs = ['randomised trial', 'retrospective cohort'],
  added = designs.map(() => 0),
}: Facts = {}): NetworkPart =>
  ({
    treatments,
    studies: designs.map((design, at) => ({ study: `study-${at}`, design, addedToEachCell: added[at] ?? 0 })),
    comparisons: direct.map(([directStudies, directShare]) => ({ directStudies, directShare })),
    heterogeneity: { degreesOfFreedom },
    solution: { q },
  }) as unknown as NetworkPart;
const of = (
  parts: readonly NetworkPart[],
  options: NetworkOptions = {},
  leftOut: readonly NetworkLeftOut[] = [],
) => networkCautions(parts, leftOut, resolveNetworkOptions(options));
const codes = (...given: Parameters<typeof of>) => of(...given).map(({ code }) => code);

describe('networkCautions', () => {
  it.each<[string, readonly Facts[], NetworkOptions, readonly string[]]>([
    ['a closed loop of several studies', [{}], {}, []],
    ['nothing', [], {}, ['nothing-to-compare']],
    ['two parts', [{}, {}], {}, ['disconnected']],
    ['no degree of freedom', [{ degreesOfFreedom: 0 }], {}, ['variance-not-estimable']],
    ['one degree of freedom', [{ degreesOfFreedom: 1 }], {}, []],
    [
      'one study each',
      [
        {
          direct: [
            [1, 0.5],
            [1, 0.5],
            [0, 0],
          ],
        },
      ],
      {},
      ['one-study-per-comparison'],
    ],
    [
      'one study each and no degree of freedom: the latter says it',
      [{ degreesOfFreedom: 0, direct: [[1, 0.5]] }],
      {},
      ['variance-not-estimable'],
    ],
    [
      'direct evidence only among three',
      [
        {
          direct: [
            [2, 1],
            [2, 1],
            [0, 0],
          ],
        },
      ],
      {},
      ['no-closed-loop'],
    ],
    [
      'a little indirect evidence',
      [
        {
          direct: [
            [2, 1],
            [2, 0.999],
          ],
        },
      ],
      {},
      [],
    ],
    ['two treatments have no loop to close', [{ treatments: ['a', 'b'], direct: [[2, 1]] }], {}, []],
    ['no scatter under Wald', [{ q: 0 }], {}, []],
    [
      'no scatter under Hartung-Knapp',
      [{ q: 0 }],
      { interval: 'hartung-knapp' },
      ['interval-method-replaced'],
    ],
    [
      'no scatter under the truncated form',
      [{ q: 0 }],
      { interval: 'truncated-hartung-knapp' },
      ['interval-method-replaced'],
    ],
    [
      'no degree of freedom under Hartung-Knapp',
      [{ degreesOfFreedom: 0, q: 0 }],
      { interval: 'hartung-knapp' },
      ['variance-not-estimable', 'interval-method-replaced'],
    ],
    [
      'one degree of freedom under Hartung-Knapp',
      [{ degreesOfFreedom: 1 }],
      { interval: 'hartung-knapp' },
      [],
    ],
    // Less scatter than the degrees of freedom; as much is not less.
    ['scatter as chance gives it', [{ q: 2 }], { interval: 'hartung-knapp' }, []],
    ['less scatter', [{ q: 1.99 }], { interval: 'hartung-knapp' }, ['hartung-knapp-narrowed']],
    ['less scatter, truncated', [{ q: 1.99 }], { interval: 'truncated-hartung-knapp' }, []],
    ['less scatter, Wald', [{ q: 1.99 }], {}, []],
    ['one design', [{ designs: ['randomised trial', 'randomised trial'] }], {}, ['one-design-only']],
    ['an amount added', [{ added: [0, 0.5] }], {}, ['correction-added']],
  ])('%s: %j %j gives %j', (_, parts, options, expected) => {
    expect(codes(parts.map(part), options)).toEqual(expected);
  });

  it('says which treatments, how many studies and what was done', () => {
    const message = (...given: Parameters<typeof of>): string => of(...given)[0]!.message;
    expect(message([])).toMatch(/^No study compares two of these treatments/);
    expect(message([part({ treatments: ['a', 'b'] }), part({ treatments: ['c', 'd'] })])).toMatch(
      /: a, b \| c, d\. /,
    );
    expect(message([part({ degreesOfFreedom: 0 })])).toMatch(
      /^Among tenotomy, subpectoral, suprapectoral no comparison has a second source.* a between-study variance of zero was used: intervals are too short if studies differ\.$/,
    );
    expect(message([part({ degreesOfFreedom: 0 })], { model: 'common-effect' })).toMatch(
      /cannot be told from chance\.$/,
    );
    expect(message([part({ designs: ['randomised trial'] })])).toBe(
      'Every study in the network is a randomised trial.',
    );
    expect(message([part({ added: [0.5, 0] })])).toMatch(/every cell of 1 of 2 studies/);
    expect(message([part({ direct: [[1, 0.5]] })])).toMatch(/every comparison rests on a single study/);
    expect(message([part({ direct: [[2, 1]] })])).toMatch(
      /no comparison has both direct and indirect evidence/,
    );
    expect(message([part({ q: 0 })], { interval: 'hartung-knapp' })).toMatch(/they are Wald intervals\.$/);
    expect(message([part({ q: 1 })], { interval: 'hartung-knapp' })).toMatch(/^The studies scatter less/);
    // A study that lost two arms is one study.
    const left = (study: string): NetworkLeftOut => ({ study, label: study, reason: 'no events' });
    expect(codes([part()], {}, [left('a')])).toEqual(['studies-left-out']);
    expect(message([part()], {}, [left('a'), left('a'), left('b')])).toMatch(
      /^2 studies were left out or lost an arm/,
    );
  });
});
