import { describe, expect, it } from 'vitest';
import { expectAllPrinted } from '../helpers/close.ts';
import { published, publishedIds } from './published.ts';

describe('the published examples themselves', () => {
  it('are all here', () => {
    expect(publishedIds().length).toBeGreaterThanOrEqual(19);
  });

  for (const id of publishedIds()) {
    const example = published(id);

    it(`${id} names its source and every value's origin`, () => {
      expect(example.id).toBe(id);
      expect(example.citation.length).toBeGreaterThan(20);
      expect(example.whereSeen).toMatch(/page seen|from memory/);
      expect(['A', 'A-', 'B+', 'B', 'C']).toContain(example.trust);
      expect(example.rows.length).toBeGreaterThan(0);
      for (const value of example.printed) {
        expect(['page', 'from memory', 'from memory, put down after recomputing']).toContain(value.seen);
        expect(value.within === undefined, `${value.quantity}: a tolerance needs its reason`).toBe(
          value.because === undefined,
        );
      }
    });

    it(`${id}: what was recomputed elsewhere rounds to what is printed`, () => {
      const recomputed = new Map(
        example.recomputed.flatMap((g) => g.values).map((v) => [`${v.quantity} | ${v.method}`, v.value]),
      );
      for (const value of example.printed) {
        const key = `${value.quantity} | ${value.method}`;
        const other = recomputed.get(key);
        expect(other, `${key} was not recomputed`).toBeDefined();
        expectAllPrinted([other ?? []].flat(), [value.printed].flat(), {
          label: key,
          because: value.because ?? 'the page prints no more digits',
          ...(value.within === undefined ? {} : { within: value.within }),
        });
      }
    });
  }
});
