import { describe, expect, it } from 'vitest';
import { demoFiles, demoLastYearFiles } from '../../data-extraction/makeDemo.ts';
import { answersTold } from '../../src/changes/answerTold.ts';
import { compareVersions } from '../../src/changes/compareVersions.ts';
import { causesAtWork, mixReviews } from '../../src/changes/mixReviews.ts';
import { compareReviews } from '../../src/extraction/changes/compareReviews.ts';
import type { ReviewVersion } from '../../src/extraction/changes/reviewVersion.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import { poolBySite } from '../../src/pooling/poolBySite.ts';
import { protocolOptions } from '../../src/pooling/protocolOptions.ts';
import { quoteSites } from '../../src/pooling/quoteSites.ts';
import { sheetsOf } from '../answers/reviewOf.ts';
import { readSound, smallReview } from '../extraction/smallReview.ts';
import { expectClose } from '../helpers/close.ts';

const version = (name: string, files: Readonly<Record<string, string>>): ReviewVersion => ({
  name,
  files,
  review: readSound(files),
});
const before = version('2025', demoLastYearFiles());
const after = version('2026', demoFiles());
const report = compareVersions(before, after);
const answer = (key: string) => report.answers.find((each) => each.key === key)!;

describe('compareVersions on the demo and the version before it', () => {
  it('every split adds up to the change, which is the later number less the earlier one', () => {
    let split = 0;
    for (const { key, before: old, after: now, split: parts } of report.answers) {
      if (parts === undefined) continue;
      split += 1;
      const label = key;
      const ofSize = Math.max(Math.abs(old!.value!), Math.abs(now!.value!), 1);
      expect(Math.abs(parts.total - (now!.value! - old!.value!)), label).toBeLessThanOrEqual(1e-13 * ofSize);
      const sum = parts.parts.reduce((total, { value }) => total + value, 0);
      expect(Math.abs(sum - parts.total), label).toBeLessThanOrEqual(1e-13 * ofSize);
    }
    expect(split).toBeGreaterThan(40);
  });

  it('going back turns every sign', () => {
    const back = compareVersions(after, before, { certainty: 'none' });
    const turned = { 'studies added': 'studies removed', 'studies removed': 'studies added' } as const;
    for (const { key, split } of report.answers) {
      const other = back.answers.find((each) => each.key === key)?.split;
      expect(other === undefined, key).toBe(split === undefined);
      for (const { cause, value } of split?.parts ?? []) {
        const name = cause in turned ? turned[cause as keyof typeof turned] : cause;
        const part = other?.parts.find((each) => each.cause === name)?.value;
        expect(Math.abs(part! + value), `${key} ${cause}`).toBeLessThanOrEqual(1e-13 * 100);
      }
    }
  });

  it('the ends of the mixture are the versions themselves, and the middle holds what it should', () => {
    const changes = compareReviews(before, after);
    const causes = causesAtWork(changes);
    expect(causes).toEqual(['studies added', 'studies removed', 'cells corrected', 'rules']);
    const mixed = (...applied: (typeof causes)[number][]) =>
      mixReviews(before.review, after.review, changes, new Set(applied));
    expect(mixed(...causes).events).toBe(after.review.events);
    expect(mixed().events).toBe(before.review.events);
    expect(mixed('rules')).toEqual({ ...before.review, protocol: after.review.protocol });
    const added = mixed('studies added');
    expect(added.studies).toHaveLength(before.review.studies.length + changes.studiesAdded.length);
    expect(added.protocol).toBe(before.review.protocol);
    expect(mixed('studies removed').studies).toHaveLength(
      before.review.studies.length - changes.studiesRemoved.length,
    );
    const corrected = mixed('cells corrected').events.find(
      (row) => row.study === 'quellmoor-2010' && row.arm === 'subpectoral' && row.outcome === 'groove-pain',
    );
    expect(corrected?.events).toBe(2);
  });

  it('the numbers are those the rest of the library pools', () => {
    const outcome = selectEvents(after.review, 'cosmetic-deformity');
    const options = protocolOptions(after.review.protocol, outcome.outcome);
    for (const { site, pool } of quoteSites(poolBySite(outcome.arms, options), options).sites) {
      const { value, lower } = answersTold(after.review).get(`rate:cosmetic-deformity:${site}`)!;
      expectClose(value, 100 * pool.headline!.rate, 'identity');
      expectClose(lower, 100 * pool.headline!.interval.lower, 'identity');
    }
  });

  // Nothing is told at very low certainty, which is all that three small trials give for two of the three.
  it('recommendations stand where the evidence is sure enough to tell', () => {
    expect(report.recommendations.map(({ recommendation, standing }) => [recommendation, standing])).toEqual([
      ['bulge', 'newly borne out'],
      ['groove-pain', 'still cannot be told'],
      ['revision-rare', 'still stands'],
    ]);
    expect(report.headline[0]).toBe(
      'Not all: 1 of 3 recommendations still stands, 1 is now borne out and for 1 the evidence cannot tell, as before.',
    );
  });

  it('the changed rule moves what its outcome and the rule can move, and nothing else', () => {
    for (const { key, split } of report.answers) {
      const rules = split?.parts.find(({ cause }) => cause === 'rules')?.value;
      if (!key.includes('cosmetic-deformity') && rules !== undefined) expect(rules, key).toBe(0);
    }
    const sub = answer('rate:cosmetic-deformity:subpectoral').split!.parts.find(
      ({ cause }) => cause === 'rules',
    );
    expect(sub?.value).toBeLessThan(-0.5);
  });

  it('with the numbers printed then, what the software moved is a part of its own, and all still adds up', () => {
    const key = 'rate:revision:subpectoral';
    const old = answer(key).before!.value!;
    const then = { value: old - 0.25, lower: old - 1, upper: old + 1 };
    const printed = { values: { [key]: then }, software: { tenosite: '0.0.9' } };
    const told = compareVersions(before, after, { saved: printed, certainty: 'none' });
    const { split, saved } = told.answers.find((each) => each.key === key)!;
    expect(saved).toEqual(then);
    const software = split!.parts.find(({ cause }) => cause === 'software');
    expectClose(software?.value, 0.25, 'identity', { ofSize: 2 });
    const now = answer(key).after!.value!;
    expectClose(split!.total, now - (old - 0.25), 'identity', { ofSize: 2 });
    const sum = split!.parts.reduce((total, { value }) => total + value, 0);
    expectClose(sum, split!.total, 'identity', { ofSize: 2 });
    expect(told.causes).toContain('software');
  });

  it('a version and itself: nothing changed, said so, and no cause at work', () => {
    const same = compareVersions(after, version('again', demoFiles()), { certainty: 'none' });
    expect(same.changes.nothingChanged).toBe(true);
    expect(same.causes).toEqual([]);
    expect(same.headline).toEqual([
      'Nothing changed: the two versions hold the same data and the same rules, so every number and every conclusion is the same.',
    ]);
    for (const { split } of same.answers) if (split !== undefined) expect(split.total).toBe(0);
    expect(same.conclusions.every(({ standing }) => standing.startsWith('still'))).toBe(true);
  });

  it('refuses options it does not know', () => {
    expect(() => compareVersions(before, after, { certainty: 'all' as 'none' })).toThrow('certainty');
    expect(() => compareVersions(before, after, { rate: 1 } as object)).toThrow('rate');
  });
});

describe('a conclusion that one cause alone turns', () => {
  const trial = (study: string, events: readonly [number, number]) => {
    const arm = { study, design: 'randomised trial', total: 400 };
    return [
      { ...arm, site: 'subpectoral' as const, events: events[0] },
      { ...arm, site: 'tenotomy' as const, events: events[1] },
    ];
  };
  const made = (name: string, counts: ReturnType<typeof trial>) =>
    version(
      name,
      sheetsOf(counts, {
        judgements: [...new Set(counts.map(({ study }) => study))].map((study) => ({
          study,
          tool: 'RoB 2',
          judgement: 'low',
        })),
      }),
    );
  const key = 'comparison:groove-pain:subpectoral:tenotomy';
  const turned = (one: ReturnType<typeof trial>, other: ReturnType<typeof trial>) => {
    const [first] = compareVersions(made('one', one), made('other', other)).conclusions;
    // What moved comes first.
    expect(first?.key).toBe(key);
    return first!;
  };

  it('names the studies added, and the cells corrected', () => {
    const added = turned(trial('aller', [75, 100]), [
      ...trial('aller', [75, 100]),
      ...['brock', 'corve', 'dunt'].flatMap((study) => trial(study, [55, 100])),
    ]);
    expect(added).toMatchObject({ standing: 'stands more firmly', sufficient: ['studies added'] });
    expect(added.sentence).toContain('The added studies alone lead there.');
    const corrected = turned(trial('aller', [20, 100]), trial('aller', [100, 100]));
    expect(corrected).toMatchObject({ before: { short: 'fewer' }, sufficient: ['cells corrected'] });
  });
});

describe('compareVersions without recommendations', () => {
  it('answers for its conclusions and says so', () => {
    const one = version('one', smallReview);
    const events = smallReview['events.csv']!.replace('24,4,38,10.5', '24,6,38,');
    const two = version('two', { ...smallReview, 'events.csv': events });
    const { headline, recommendations, certainty } = compareVersions(one, two);
    expect(recommendations).toEqual([]);
    expect(headline[0]).toBe(
      'The review states no recommendations, so this report answers for its conclusions.',
    );
    expect(certainty).toEqual([]);
  });
});
