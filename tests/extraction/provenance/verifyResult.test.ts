import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { reviewFingerprint } from '../../../src/extraction/provenance/fingerprint.ts';
import { verifyResult } from '../../../src/extraction/provenance/verifyResult.ts';
import { smallReview, withChange } from '../smallReview.ts';

const software = { tenosite: '0.1.0', revision: 'abc' };
const provenance = { ...reviewFingerprint(smallReview), software };
const results = { pool: { rate: 0.125, limits: [0.1, 0.2], words: 'as printed' }, empty: [], silent: null };

describe('verifyResult', () => {
  it('follows when everything is the same, computed again or not', () => {
    const fresh = structuredClone(results);
    const now = verifyResult({ provenance, results }, { provenance, fresh });
    expect(now).toMatchObject({ verdict: 'follows', compared: 5, differing: [], filesDiffering: [] });
    expect(verifyResult({ provenance, results }, { provenance }).verdict).toBe('follows');
  });

  it('finds any number that was tampered with, at its place, and says so', () => {
    fc.assert(
      fc.property(fc.constantFrom(0, 1), fc.double({ min: 1e-8, max: 10, noNaN: true }), (at, by) => {
        const saved = structuredClone(results);
        saved.pool.limits[at] = (results.pool.limits[at] ?? 0) + by;
        const told = verifyResult({ provenance, results: saved }, { provenance, fresh: results });
        expect(told.verdict).toBe('does not follow');
        expect(told.differing.map(({ path }) => path)).toEqual([`pool.limits[${at}]`]);
        expect(told.sentences.join(' ')).toContain('was altered');
      }),
    );
  });

  it('takes a last digit rounded by another machine for the same, and a missing value for another', () => {
    const near = { ...results, pool: { ...results.pool, rate: 0.125 * (1 + 1e-12) } };
    expect(verifyResult({ provenance, results: near }, { provenance, fresh: results }).verdict).toBe(
      'follows',
    );
    const { empty: _, ...less } = results;
    const more = verifyResult({ provenance, results: less }, { provenance, fresh: results });
    expect(more.differing).toEqual([{ path: 'empty', saved: undefined, now: '[]' }]);
  });

  it('says which of data, rules and software differ', () => {
    const data = withChange('flow.csv', 'reports assessed,,10', 'reports assessed,,11');
    const other = (files: typeof smallReview, tenosite = '0.1.0') =>
      verifyResult(
        { provenance, results },
        { provenance: { ...reviewFingerprint(files), software: { ...software, tenosite } } },
      );
    expect(other(data)).toMatchObject({
      verdict: 'does not follow',
      same: { data: false, rules: true, software: true },
      filesDiffering: ['flow.csv'],
    });
    const rules = withChange('protocol.json', '"level": 0.95', '"level": 0.9');
    expect(other(rules).same).toEqual({ data: true, rules: false, software: true });
    expect(other(smallReview, '0.2.0').same).toEqual({ data: true, rules: true, software: false });
  });

  it('cannot tell for a result without a record that was not computed again', () => {
    expect(verifyResult({ results }, { provenance }).verdict).toBe('cannot tell');
    expect(verifyResult({ results }, { provenance, fresh: results }).verdict).toBe('follows');
  });
});
