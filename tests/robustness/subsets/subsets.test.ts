import { describe, expect, it } from 'vitest';
import { seededUniform } from '../../../src/numerics/seededUniform.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { pooledSample } from '../../../src/pooling/pooledSample.ts';
import { subsetsInWorkers } from '../../../src/publishing/subsetsInWorkers.ts';
import { describeCloud } from '../../../src/robustness/subsets/describeCloud.ts';
import { scanSubsets } from '../../../src/robustness/subsets/scanSubsets.ts';
import {
  isMember,
  memberCount,
  type SubsetCloud,
  subsetCloud,
} from '../../../src/robustness/subsets/subsetCloud.ts';
import { estimatesOf } from '../../pooling/estimates.ts';
import { agree, estimatesFrom } from '../invented.ts';

function agreesWithPool(cloud: SubsetCloud, subset: number): void {
  const members = cloud.estimates.filter((_, i) => isMember(cloud, subset, i));
  const pooled = poolEstimates(members, { model: cloud.model });
  const size = Math.abs(pooled.mean!.value) + pooled.mean!.standardError;
  agree(cloud.means[subset], pooled.mean!.value, 1e-10, size);
  agree(cloud.iSquared[subset], pooled.heterogeneity?.iSquared ?? 0, 1e-10, 1e-3);
  expect(memberCount(cloud, subset)).toBe(members.length);
}

describe('every subset', () => {
  it.each(['random-effects', 'common-effect'] as const)(
    '%s: 1,000 random subsets of 20 equal the pool',
    (model) => {
      const random = seededUniform(7);
      const cloud = subsetCloud(estimatesFrom(11, 20, 0.4), { model });
      expect(cloud.subsets).toBe(2 ** 20 - 1);
      for (let i = 0; i < 1000; i++) agreesWithPool(cloud, Math.floor(random() * cloud.subsets));
    },
  );

  it('all of them, for one to nine studies', () => {
    for (let count = 1; count <= 9; count++) {
      const cloud = subsetCloud(estimatesFrom(100 + count, count, count % 3));
      expect(cloud.subsets).toBe(2 ** count - 1);
      for (let subset = 0; subset < cloud.subsets; subset++) agreesWithPool(cloud, subset);
    }
  });

  it('keeps its digits beside a study that outweighs the rest a million times', () => {
    const estimates = estimatesFrom(5, 9, 0.4);
    const heavy = estimatesOf(
      [3, ...estimates.map((e) => e.value)],
      [1e-8, ...estimates.map((e) => e.variance)],
    );
    const cloud = subsetCloud(heavy);
    for (let subset = 0; subset < cloud.subsets; subset++) agreesWithPool(cloud, subset);
  });

  it('gives a range of subsets the same bits as inside all of them', () => {
    const estimates = estimatesFrom(3, 11, 0.5);
    const sample = pooledSample(
      Float64Array.from(estimates, (e) => e.value),
      Float64Array.from(estimates, (e) => e.variance),
    );
    const all = { means: new Float64Array(2047), iSquared: new Float64Array(2047) };
    scanSubsets(sample, 1, 2048, true, all);
    for (const [from, to] of [
      [1, 2],
      [5, 800],
      [31, 33],
      [1000, 2048],
      [2047, 2048],
    ] as const) {
      const part = { means: new Float64Array(to - from), iSquared: new Float64Array(to - from) };
      scanSubsets(sample, from, to, true, part);
      expect(part.means).toEqual(all.means.subarray(from - 1, to - 1));
      expect(part.iSquared).toEqual(all.iSquared.subarray(from - 1, to - 1));
    }
  });

  it('is not moved by a shift of every value', () => {
    const estimates = estimatesFrom(8, 8, 0.5);
    const shifted = subsetCloud(estimates.map((e) => ({ ...e, value: e.value + 1000 })));
    const plain = subsetCloud(estimates);
    for (let i = 0; i < plain.subsets; i++) agree(shifted.means[i]! - 1000, plain.means[i]!, 1e-11, 1);
  });
});

describe('a sample of subsets', () => {
  const many = estimatesFrom(21, 40, 0.4);
  const options = { sample: { subsets: 150_000, seed: 5 } };
  const cloud = subsetCloud(many, options);

  it('pools what it drew, and never draws nothing', () => {
    for (let subset = 0; subset < cloud.subsets; subset += 997) agreesWithPool(cloud, subset);
    for (let subset = 0; subset < cloud.subsets; subset++)
      expect(memberCount(cloud, subset)).toBeGreaterThan(0);
  });

  it('has every study in half of the subsets, within five standard errors', () => {
    for (let study = 0; study < 40; study++) {
      let size = 0;
      for (let subset = 0; subset < cloud.subsets; subset++) if (isMember(cloud, subset, study)) size++;
      expect(Math.abs(size / cloud.subsets - 0.5)).toBeLessThan(5 * Math.sqrt(0.25 / cloud.subsets));
    }
  });

  it('is the same from one worker, two, and none, and another from another seed', async () => {
    for (const workers of [1, 2]) {
      const other = await subsetsInWorkers(many, { ...options, workers });
      expect(Buffer.compare(bytes(other.means), bytes(cloud.means))).toBe(0);
      expect(Buffer.compare(bytes(other.iSquared), bytes(cloud.iSquared))).toBe(0);
      expect(Buffer.compare(bytes(other.members), bytes(cloud.members))).toBe(0);
    }
    const reseeded = subsetCloud(many, { sample: { subsets: 150_000, seed: 6 } });
    expect(Buffer.compare(bytes(reseeded.means), bytes(cloud.means))).not.toBe(0);
  });

  it('of few studies comes near the whole cloud', () => {
    const few = estimatesFrom(2, 10, 0.6);
    const all = describeCloud(subsetCloud(few))!;
    const drawn = describeCloud(subsetCloud(few, { sample: { subsets: 100_000, seed: 1 } }))!;
    const deviation = (all.means.high - all.means.low) / 4;
    expect(Math.abs(all.means.median - drawn.means.median)).toBeLessThan(0.05 * deviation);
  });
});

const bytes = (array: Float64Array | Uint32Array): Uint8Array =>
  new Uint8Array(array.buffer as ArrayBuffer, array.byteOffset, array.byteLength);

describe('all subsets in workers', () => {
  it('has the same bits as in this thread', async () => {
    const estimates = estimatesFrom(12, 18, 0.4);
    const here = subsetCloud(estimates);
    const there = await subsetsInWorkers(estimates, { workers: 2 });
    expect(Buffer.compare(bytes(there.means), bytes(here.means))).toBe(0);
    expect(Buffer.compare(bytes(there.iSquared), bytes(here.iSquared))).toBe(0);
  });
});

describe('who splits the cloud', () => {
  it('names the outlying study, and shares of presence by brute force', () => {
    const estimates = [...estimatesFrom(9, 9, 0.05), ...estimatesOf([4], [0.01])];
    const cloud = subsetCloud(estimates);
    const description = describeCloud(cloud)!;
    expect(description.presence[0]).toMatchObject({ position: 9, splits: true });
    expect(description.presence.slice(1).some(({ splits }) => splits)).toBe(false);
    const rows = Array.from({ length: cloud.subsets }, (_, s) => s).filter((s) => memberCount(cloud, s) > 1);
    expect(description.subsets).toBe(rows.length);
    const average = (of: readonly number[]): number => of.reduce((a, b) => a + b, 0) / of.length;
    for (const { position, shareOfMeans, meanWith } of description.presence) {
      const y = rows.map((s) => cloud.means[s]!);
      const x = rows.map((s) => Number(isMember(cloud, s, position)));
      const [mx, my] = [average(x), average(y)];
      const cov = average(rows.map((_, i) => (x[i]! - mx) * (y[i]! - my)));
      const vx = average(x.map((each) => (each - mx) ** 2));
      const vy = average(y.map((each) => (each - my) ** 2));
      // The share is the squared correlation of presence and mean.
      agree(shareOfMeans, (cov * cov) / (vx * vy), 1e-10, 1e-3);
      agree(meanWith, average(y.filter((_, i) => x[i] === 1)), 1e-12);
    }
  });

  it('has no share to give where all studies say the same, and nothing to say of one', () => {
    const same = describeCloud(subsetCloud(estimatesOf([1, 1, 1], [0.1, 0.2, 0.3])))!;
    expect(same.presence.every(({ shareOfMeans, splits }) => shareOfMeans === undefined && !splits)).toBe(
      true,
    );
    expect(describeCloud(subsetCloud(estimatesOf([1], [0.1])))).toBeUndefined();
  });
});

describe('misuse', () => {
  it('names the bound and what it got', () => {
    expect(() => subsetCloud([])).toThrow(/at least one estimate/);
    expect(() => subsetCloud(estimatesFrom(1, 3, 0), { sample: { subsets: 0, seed: 1 } })).toThrow(
      /received 0/,
    );
    expect(() => subsetCloud(estimatesFrom(1, 3, 0), { model: 'fixed' as 'common-effect' })).toThrow(
      /random-effects, common-effect/,
    );
    expect(() => subsetCloud(estimatesFrom(1, 3, 0), { seed: 1 } as object)).toThrow(/unknown option/);
    expect(() => describeCloud(subsetCloud(estimatesFrom(1, 3, 0)), { fewest: 0 })).toThrow(/fewest/);
  });

  it('samples above 22 studies without being asked, and says so', () => {
    const cloud = subsetCloud(estimatesFrom(1, 23, 0.2));
    expect(cloud).toMatchObject({ taken: 'sample', seed: 1, subsets: 200_000 });
  });
});
