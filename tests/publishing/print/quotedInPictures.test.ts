// What a picture says of the number it draws. The formula of the weights and the numbers beside it are worked out here
// from the counts; that DerSimonian-Laird stands beside whatever is quoted is a rule of this project, without a source.

import { beforeAll, describe, expect, it } from 'vitest';
import { answersOf } from '../../../src/answers/answersOf.ts';
import { readReviewFolder } from '../../../src/extraction/readReviewFolder.ts';
import type { Review } from '../../../src/extraction/review.ts';
import { planFigures } from '../../../src/publishing/print/planFigures.ts';
import { heterogeneityTable } from '../../../src/tables/heterogeneityTable.ts';
import { studiesTable } from '../../../src/tables/studiesTable.ts';

let review: Review;
beforeAll(async () => {
  const read = await readReviewFolder('data-extraction/demo');
  review = read.review!;
});

const drawn = (outcome: string, only: 'forest' | 'funnel' | 'overview' | 'pairs') =>
  planFigures(review, only === 'overview' ? { only } : { outcome, only }).map((figure) => ({
    file: figure.file,
    svg: figure.draw({ width: '190mm', idPrefix: 'quoted' }),
    legend: figure.legend.join(' '),
  }));
const texts = (svg: string, className: string): readonly string[] =>
  [...svg.matchAll(new RegExp(`<text class="${className}"[^>]*>([^<]*)`, 'g'))].map(([, text]) => text!);

describe('a forest plot of a rare outcome', () => {
  it('names the quoted row for what it is, with DerSimonian-Laird under it at every site', () => {
    const { svg, legend } = drawn('revision', 'forest')[0]!;
    const names = texts(svg, 'name');
    expect(names.filter((name) => name === 'Mean of studies')).toHaveLength(4);
    expect(names.filter((name) => name === 'DerSimonian-Laird')).toHaveLength(4);
    expect(names).not.toContain('One-step check');
    expect(legend).toContain('the mean over studies of their rates');
    expect(svg).toContain('In the two-step pool (DerSimonian-Laird');
  });

  it('prints as weight the share of the information on the quoted mean', () => {
    const { pools } = answersOf(review).counts('revision');
    const { name, pool } = pools.sites[0]!;
    const rate = pool.headline!.rate;
    const variance = pool.oneStep.betweenStudyDeviation! ** 2;
    const information = pool.arms.map(({ total }) => total / (1 + variance * total * rate * (1 - rate)));
    const sum = information.reduce((all, each) => all + each, 0);
    const rows = studiesTable(pools).rows.filter(({ site }) => site === name);
    rows.forEach(({ weightValue }, at) => {
      expect(weightValue).toBeCloseTo(information[at]! / sum, 12);
    });
    expect(pool.arms.some(({ events }) => events === 0)).toBe(true);
  });
});

it('a forest plot of a comparison shows DerSimonian-Laird and Mantel-Haenszel beside the quoted effect', () => {
  for (const { svg, legend } of drawn('cosmetic-deformity', 'pairs')) {
    const names = texts(svg, 'name');
    expect(names).toContain('Median study');
    expect(names).toContain('DerSimonian-Laird');
    expect(names).toContain('Mantel-Haenszel');
    expect(legend).toContain('the effect in the median study');
  }
});

it('the picture of all sites names the estimand and draws DerSimonian-Laird under each bar', () => {
  const { svg } = drawn('', 'overview')[0]!;
  expect(svg).toContain('the mean over studies of their rates');
  expect(svg).toContain('DerSimonian-Laird');
  expect([...svg.matchAll(/class="triangle"/g)].length).toBeGreaterThanOrEqual(12);
});

it('the dashed lines of a funnel plot are the quoted rates, and named', () => {
  const { svg } = drawn('revision', 'funnel')[0]!;
  expect(svg.replace(/<\/text>\s*<text[^>]*>/g, ' ')).toContain('the mean over studies of their rates');
});

it('the table of heterogeneity says to which number its columns belong', () => {
  const { pools } = answersOf(review).counts('revision');
  const { notes } = heterogeneityTable(pools);
  expect(notes.join(' ')).toContain('belong to the two-step pool');
});
