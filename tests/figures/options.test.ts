import { parseHTML } from 'linkedom';
import { describe, expect, it } from 'vitest';
import type { ContrastScale } from '../../src/effects/analysisScale.ts';
import { forestPlot } from '../../src/figures/forestPlot.ts';
import { funnelPlot } from '../../src/figures/funnelPlot.ts';
import { sitesOverview } from '../../src/figures/sitesOverview.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { comparison, deformity } from './inventedPools.ts';
import { parsePicture, shownText } from './readPicture.ts';

describe('options', () => {
  it('refuses what it does not know, naming what it does', () => {
    expect(() => forestPlot(deformity, { colour: 'red' } as never)).toThrow(
      "forestPlot: unknown option 'colour'; known are width, title",
    );
    expect(() => funnelPlot(deformity, { sort: 'size' } as never)).toThrow("unknown option 'sort'");
    expect(() => sitesOverview([], { words: {} } as never)).toThrow("unknown option 'words'");
    expect(() => forestPlot(deformity, { sort: 'name' as never })).toThrow(
      "sort must be one of 'estimate', 'size', 'year', 'given', received 'name'",
    );
    expect(() => forestPlot(comparison, { sort: 'year' })).toThrow("received 'year'");
    expect(() => forestPlot(deformity, { width: 40 })).toThrow('a number from 90 to 400 (mm), received 40');
    expect(() => forestPlot(deformity, { width: '100mm' as never })).toThrow('received 100mm');
    expect(() => forestPlot(deformity, { idPrefix: '1"' })).toThrow('idPrefix must be');
    expect(() => forestPlot(deformity.sites[0]!.pool.twoStep)).toThrow("received 'logit'");
  });

  it('sorts within a site', () => {
    const order = (sort: 'estimate' | 'size' | 'year' | 'given') =>
      [...parsePicture(forestPlot(deformity.sites[0]!.pool, { sort })).querySelectorAll('text.name')]
        .map(shownText)
        .slice(0, 5);
    expect(order('given')).toEqual([
      'Norholt 2014',
      'Ravnsund 2017',
      'Ostrava Mole 2019',
      'Lindvik 2020',
      'Kaldbukt 2021',
    ]);
    expect(order('estimate')[0]).toBe('Ostrava Mole 2019');
    expect(order('estimate')[4]).toBe('Lindvik 2020');
    expect(order('size')[0]).toBe('Ravnsund 2017');
    expect(order('year')).toEqual(order('given'));
  });

  it('keeps ids apart, so that pictures share a page', () => {
    const ids = (svg: string) => [...svg.matchAll(/ id="([^"]*)"/g)].map((match) => match[1]);
    const both = [
      ...ids(forestPlot(deformity, { idPrefix: 'first' })),
      ...ids(forestPlot(deformity, { idPrefix: 'second' })),
    ];
    expect(new Set(both).size).toBe(both.length);
  });

  it('leaves out the caution only when told to', () => {
    expect(forestPlot(deformity, { caution: '' })).not.toContain('Supports and does not replace');
  });

  it('draws the same in a document it is given', () => {
    const { document } = parseHTML('<!doctype html><html><body></body></html>');
    expect(forestPlot(deformity, { document: document as unknown as Document })).toBe(forestPlot(deformity));
  });

  it.each(['risk-difference', 'mean-difference', 'standardised-mean-difference', 'log-risk-ratio'] as const)(
    'draws %s',
    (scale: ContrastScale) => {
      const result = poolEstimates(
        [-0.12, 0.03, -0.2].map((value, index) => ({
          study: `study-${index}`,
          label: `Port Arden 201${index}`,
          value,
          variance: 0.004 + 0.002 * index,
          scale,
          addedToEachCell: 0,
          rows: [],
        })),
        { scale },
      );
      for (const width of ['90mm', '190mm'] as const) {
        const root = parsePicture(forestPlot(result, { width }));
        expect(root.querySelectorAll('circle.disc')).toHaveLength(3);
        expect(funnelPlot(result, { width })).toContain('class="regions"');
        const text = [...root.querySelectorAll('text')].map(shownText).join(' ');
        expect(text).toContain(
          {
            'risk-difference': '\u221212.0',
            'mean-difference': '\u22120.1',
            'standardised-mean-difference': '\u22120.12',
            'log-risk-ratio': '0.89',
          }[scale as 'risk-difference'],
        );
      }
    },
  );
});
