import { describe, expect, it } from 'vitest';
import { largestRadius } from '../../src/figures/forestGroup.ts';
import { forestPlot } from '../../src/figures/forestPlot.ts';
import { funnelPlot } from '../../src/figures/funnelPlot.ts';
import { sitesOverview } from '../../src/figures/sitesOverview.ts';
import { comparison, deformity, nasty, revision, words } from './inventedPools.ts';
import { parsePicture, readAxis, shownText } from './readPicture.ts';

const attribute = (element: Element, name: string): number => Number(element.getAttribute(name));
const logit = (percent: number): number => Math.log(percent / (100 - percent));
// Positions are printed to 0.0005 pt; an axis of 100 pt or more keeps a value to this share of its reach.
const printed = 2e-5;

const centres = (root: Element): readonly Element[] => [...root.querySelectorAll('circle.disc, circle.ring')];

describe('marks stand where the numbers are', () => {
  it.each(['90mm', '190mm'] as const)('arms of a forest plot of rates at %s', (width) => {
    const root = parsePicture(forestPlot(deformity, { width, sort: 'given' }));
    const read = readAxis(root, (percent) => percent);
    const arms = [
      ...deformity.sites.flatMap(({ pool }) => pool.arms),
      ...deformity.outside.flatMap(({ arms }) => arms),
    ];
    const marks = centres(root);
    expect(marks).toHaveLength(arms.length);
    for (const [index, arm] of arms.entries())
      expect(Math.abs(read(attribute(marks[index]!, 'cx')) - (100 * arm.events) / arm.total)).toBeLessThan(
        100 * printed,
      );
  });

  it('arms on a log-odds axis, where no events lie at the left end', () => {
    const root = parsePicture(forestPlot(revision, { sort: 'given', spacing: 'logit' }));
    const read = readAxis(root, logit);
    const arms = revision.sites.flatMap(({ pool }) => pool.arms);
    const marks = centres(root);
    const leftmost = Math.min(...marks.map((mark) => attribute(mark, 'cx')));
    for (const [index, arm] of arms.entries()) {
      const cx = attribute(marks[index]!, 'cx');
      if (arm.events === 0) expect(cx).toBe(leftmost);
      else expect(Math.abs(read(cx) - logit((100 * arm.events) / arm.total))).toBeLessThan(10 * printed);
    }
  });

  it('pooled bars run from the lower to the upper limit', () => {
    const root = parsePicture(forestPlot(deformity));
    const read = readAxis(root, (percent) => percent);
    const bars = [...root.querySelectorAll('rect.bar')];
    const headlines = deformity.sites.map(({ pool }) => pool.headline!);
    expect(bars).toHaveLength(headlines.length);
    for (const [index, { interval }] of headlines.entries()) {
      const left = attribute(bars[index]!, 'x');
      expect(Math.abs(read(left) - 100 * interval.lower)).toBeLessThan(100 * printed);
      expect(Math.abs(read(left + attribute(bars[index]!, 'width')) - 100 * interval.upper)).toBeLessThan(
        100 * printed,
      );
    }
  });

  it('odds ratios on a log axis, whiskers included', () => {
    const root = parsePicture(forestPlot(comparison, { words, sort: 'given' }));
    const read = readAxis(root, Math.log);
    const marks = centres(root);
    const whiskers = [...root.querySelectorAll('path.whisker')];
    for (const [index, { value, interval }] of comparison.estimates.entries()) {
      expect(Math.abs(read(attribute(marks[index]!, 'cx')) - value)).toBeLessThan(5 * printed);
      const [, left, right] =
        /^M([\d.]+),[\d.]+H([\d.]+)$/.exec(whiskers[index]!.getAttribute('d') ?? '') ?? [];
      expect(Math.abs(read(Number(left)) - interval.lower)).toBeLessThan(5 * printed);
      expect(Math.abs(read(Number(right)) - interval.upper)).toBeLessThan(5 * printed);
    }
  });

  it('points of a funnel plot', () => {
    const root = parsePicture(funnelPlot(comparison, { words }));
    const read = readAxis(root, Math.log);
    const points = [...root.querySelectorAll('circle.point')];
    expect(points).toHaveLength(comparison.estimates.length);
    for (const [index, { value }] of comparison.estimates.entries())
      expect(Math.abs(read(attribute(points[index]!, 'cx')) - value)).toBeLessThan(5 * printed);
    // Larger standard errors lie lower.
    const byError = comparison.estimates
      .map(({ variance }, index) => ({ variance, cy: attribute(points[index]!, 'cy') }))
      .sort((a, b) => a.variance - b.variance);
    for (const [index, { cy }] of byError.entries())
      if (index > 0) expect(cy).toBeGreaterThan(byError[index - 1]!.cy);
  });

  it('regions of significance open by 1.645, 1.960 and 2.576 standard errors (normal table, printed digits)', () => {
    const root = parsePicture(funnelPlot(comparison, { words }));
    const read = readAxis(root, Math.log);
    const errors = [...root.querySelectorAll('g.upright-axis text')].map((text) => ({
      error: Number(shownText(text)),
      y: attribute(text, 'y'),
    }));
    const [first, last] = [errors[0]!, errors.at(-1)!];
    const perPoint = (last.error - first.error) / (last.y - first.y);
    const slopes = [...root.querySelectorAll('path.region')].map((region) => {
      const corners = [...(region.getAttribute('d') ?? '').matchAll(/([\d.]+),([\d.]+)/g)].map((match) => ({
        x: Number(match[1]),
        y: Number(match[2]),
      }));
      const [apex, corner] = [corners[0]!, corners[1]!];
      expect(Math.abs(read(apex.x))).toBeLessThan(5 * printed);
      return read(corner.x) / ((corner.y - apex.y) * perPoint);
    });
    expect(slopes.map((slope) => slope.toFixed(3))).toEqual(['2.576', '1.960', '1.645']);
  });

  it('bars and brackets of the overview, on each outcome\u2019s own axis', () => {
    for (const pools of [deformity, revision]) {
      const root = parsePicture(sitesOverview([{ outcome: 'One', pools }]));
      const read = readAxis(root, (percent) => percent);
      const headlines = pools.sites.map(({ pool }) => pool.headline!);
      const bars = [...root.querySelectorAll('rect.bar')];
      for (const [index, { interval }] of headlines.entries()) {
        const left = attribute(bars[index]!, 'x');
        expect(Math.abs(read(left) - 100 * interval.lower)).toBeLessThan(100 * printed);
        expect(Math.abs(read(left + attribute(bars[index]!, 'width')) - 100 * interval.upper)).toBeLessThan(
          100 * printed,
        );
      }
      const brackets = [...root.querySelectorAll('path.bracket')];
      const predictions = headlines.flatMap(({ prediction }) =>
        prediction === undefined ? [] : [prediction],
      );
      expect(brackets).toHaveLength(predictions.length);
      for (const [index, prediction] of predictions.entries()) {
        const ends = [...(brackets[index]!.getAttribute('d') ?? '').matchAll(/H([\d.]+)V/g)].map((match) =>
          read(Number(match[1])),
        );
        expect(Math.abs(ends[0]! - 100 * prediction.lower)).toBeLessThan(100 * printed);
        // An end beyond the axis is an arrow and has no bracket.
        if (ends.length > 1) expect(Math.abs(ends[1]! - 100 * prediction.upper)).toBeLessThan(100 * printed);
      }
    }
  });

  it('gives discs an area in proportion to their weight', () => {
    const root = parsePicture(forestPlot(comparison, { words, sort: 'given' }));
    const radii = [...root.querySelectorAll('circle.disc')].map((disc) => attribute(disc, 'r'));
    const weights = comparison.estimates.map(({ weight }) => weight);
    const most = Math.max(...weights);
    for (const [index, weight] of weights.entries()) {
      const area = (radii[index]! / largestRadius) ** 2;
      expect(Math.abs(area - weight / most)).toBeLessThan(0.0005);
    }
  });

  it('ends a whisker that leaves the axis in an arrow', () => {
    const root = parsePicture(forestPlot(nasty.wideRatios, { words }));
    expect(
      [...root.querySelectorAll('path.whisker')].filter((path) => path.getAttribute('d')?.includes('L')),
    ).toHaveLength(2);
  });
});

describe('the words carry the numbers', () => {
  it('names every pooled rate, interval and arm in the description', () => {
    const root = parsePicture(forestPlot(deformity, { title: 'Deformity' }));
    const description = root.querySelector('desc')?.textContent ?? '';
    const percent = (rate: number) => (100 * rate).toFixed(1);
    for (const { name, pool } of deformity.sites) {
      const { rate, interval } = pool.headline!;
      expect(description).toContain(
        `${name} (${pool.armsInNumber.length}\u00a0arms of ${pool.studies}\u00a0studies, ${pool.shoulders}\u00a0shoulders): pooled rate ${percent(rate)} %`,
      );
      expect(description).toContain(`${percent(interval.lower)} to ${percent(interval.upper)} %`);
      for (const arm of pool.arms)
        expect(description).toContain(`${arm.label} ${arm.events} of ${arm.total} (`);
    }
    expect(root.querySelector('title')?.textContent).toBe('Deformity');
  });

  it('lists arms without weight, keeps arms outside apart, says it is no comparison', () => {
    const root = parsePicture(forestPlot(deformity));
    const texts = [...root.querySelectorAll('text')].map(shownText);
    const all = texts.join(' ');
    expect(all).toContain('Without weight in the two-step pool');
    expect(all).toContain('Ostrava Mole 2019 (0/23); Grenaa Bay 2022 (0/9).');
    expect(all).toContain('Not a randomised comparison');
    expect(texts).toContain('Soft tissue');
    expect(texts).toContain('Site unclear');
    expect(texts.filter((text) => text === 'Pooled')).toHaveLength(4);
  });

  it('labels both directions of a comparison in words', () => {
    const svg = forestPlot(comparison, { words });
    expect(svg).toContain('\u2190\u00a0fewer after tenodesis');
    expect(svg).toContain('fewer after tenotomy\u00a0\u2192');
  });

  it('makes no claim about asymmetry below ten studies', () => {
    expect(funnelPlot(comparison, { words })).toContain('fewer than 10: no claim about asymmetry');
    const ten = funnelPlot(nasty.many.sites[3]!.pool);
    expect(ten).not.toContain('no claim about asymmetry');
    expect(ten).toContain('Asymmetry has many causes');
  });

  it('labels the overview as no randomised comparison', () => {
    const svg = sitesOverview([{ outcome: 'Deformity', pools: deformity }]);
    expect(svg).toContain('>Not a randomised comparison<');
    expect(parsePicture(svg).querySelector('desc')?.textContent).toContain('Not a randomised comparison.');
  });

  it('says so where nothing is known', () => {
    expect(forestPlot(nasty.nothing)).toContain('nothing is known here');
    expect(forestPlot(nasty.noEvents)).toContain('No events in 79\u00a0shoulders');
  });
});
