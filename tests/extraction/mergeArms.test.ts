import { describe, expect, it } from 'vitest';
import { mergeArms } from '../../src/extraction/mergeArms.ts';
import { notReported } from '../../src/extraction/reported.ts';
import { makeArms } from '../tables/makeArms.ts';

const [anchor] = makeArms('subpectoral', [[2, 5]], { study: 'd', label: 'Dorn 2018', arm: 'anchor' });
const [screw] = makeArms('subpectoral', [[0, 12]], {
  study: 'd',
  label: 'Dorn 2018',
  arm: 'screw',
  followUpMonths: 48,
  assessor: 'patient',
  row: { file: 'events.csv', line: 9, locator: 'table 2' },
});
const two = [anchor!, screw!];

describe('arms of one study at one site', () => {
  it('keep the rows of both, follow-up by shoulders, and what differs named', () => {
    const [merged, ...more] = mergeArms(two);
    expect(more).toEqual([]);
    expect(merged).toMatchObject({
      arm: 'anchor + screw',
      events: 2,
      total: 17,
      definition: 'visible bulge',
      assessor: 'examiner; patient',
      followUpMonths: (24 * 5 + 48 * 12) / 17,
    });
    expect(merged!.notes![0]).toBe(
      '2 arms of this study at one site, counted together: anchor 2 of 5, screw 0 of 12.',
    );
    const silent = mergeArms([anchor!, { ...screw!, followUpMonths: notReported }]);
    expect(silent[0]!.followUpMonths).toBe(notReported);
  });

  it('stay apart at two sites, in two studies, and where the site is unclear', () => {
    expect(mergeArms([anchor!, { ...screw!, site: 'tenotomy' }])).toHaveLength(2);
    expect(mergeArms([anchor!, { ...screw!, study: 'e' }])).toHaveLength(2);
    expect(mergeArms(two.map((arm) => ({ ...arm, site: 'unclassified' })))).toHaveLength(2);
    expect(mergeArms(mergeArms(two))).toEqual(mergeArms(two));
  });
});
