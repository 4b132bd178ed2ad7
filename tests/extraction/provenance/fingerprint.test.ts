import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonicalJson } from '../../../src/extraction/provenance/canonicalJson.ts';
import { reviewFingerprint } from '../../../src/extraction/provenance/fingerprint.ts';
import { sheetNames, sheets } from '../../../src/extraction/sheets/sheets.ts';
import { runs } from '../../helpers/runs.ts';
import { smallReview } from '../smallReview.ts';

const sheetFiles = sheetNames.map((name) => sheets[name].file).filter((file) => file in smallReview);
const rowsOf = (file: string): string[][] => parse(smallReview[file] ?? '');
const usual = reviewFingerprint(smallReview);

/** A permutation of columns, a quoting, a separator, line ends and a byte order mark. */
const dress = fc.record({
  order: fc.array(fc.integer({ min: 0, max: 1_000_000 }), { minLength: 40, maxLength: 40 }),
  quoted: fc.boolean(),
  delimiter: fc.constantFrom(',', ';', '\t'),
  ends: fc.constantFrom('\n', '\r\n', '\r'),
  mark: fc.boolean(),
  bytes: fc.boolean(),
});

describe('reviewFingerprint', () => {
  it('is SHA-256 of the stated form (hashed here by the platform)', () => {
    const sha = (text: string) => createHash('sha256').update(text).digest('hex');
    const flow =
      '[["count","10"],["stage","reports assessed"]]\n' +
      '[["count","7"],["detail","no result by site"],["stage","reports excluded"]]\n' +
      '[["count","3"],["stage","reports included"]]\n[["count","3"],["stage","studies included"]]\n';
    expect(usual.files['flow.csv']).toBe(sha(flow));
    const lines = Object.entries(usual.files).sort(([a], [b]) => (a < b ? -1 : 1));
    expect(usual.data).toBe(sha(lines.map(([file, hash]) => `${file} ${hash}\n`).join('')));
    expect(usual.rules).toBe(sha(canonicalJson(JSON.parse(smallReview['protocol.json'] ?? ''))));
  });

  it('does not hear how a sheet is written down', () => {
    fc.assert(
      fc.property(fc.constantFrom(...sheetFiles), dress, (file, how) => {
        const rows = rowsOf(file);
        const order = (rows[0] ?? [])
          .map((_, at) => at)
          .sort((a, b) => (how.order[a] ?? 0) - (how.order[b] ?? 0));
        const text = stringify(
          rows.map((row) => order.map((at) => row[at])),
          { quoted: how.quoted, delimiter: how.delimiter, record_delimiter: how.ends },
        );
        const whole = `${how.mark ? '\ufeff' : ''}${text}`;
        const content = how.bytes ? new TextEncoder().encode(whole) : whole;
        expect(reviewFingerprint({ ...smallReview, [file]: content })).toEqual(usual);
      }),
      { numRuns: runs(60) },
    );
  });

  it('hears every cell, says in which file, and no other', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...sheetFiles),
        fc.nat(),
        fc.nat(),
        fc.string({ minLength: 1, maxLength: 8 }).filter((text) => /^[\w.]+$/.test(text)),
        (file, at, across, typed) => {
          const rows = rowsOf(file);
          const row = rows[1 + (at % (rows.length - 1))] as string[];
          const column = across % row.length;
          fc.pre(row[column] !== typed);
          row[column] = typed;
          const now = reviewFingerprint({ ...smallReview, [file]: stringify(rows) });
          expect(now.data).not.toBe(usual.data);
          expect(now.rules).toBe(usual.rules);
          const differing = Object.keys(now.files).filter((name) => now.files[name] !== usual.files[name]);
          expect(differing).toEqual([file]);
        },
      ),
      { numRuns: runs(100) },
    );
  });

  it('hears a rule and not its layout', () => {
    const protocol = JSON.parse(smallReview['protocol.json'] ?? '');
    const turned = Object.fromEntries(Object.entries(protocol).reverse());
    const layout = { ...smallReview, 'protocol.json': `\ufeff${JSON.stringify(turned, null, 7)}\r\n` };
    expect(reviewFingerprint(layout).rules).toBe(usual.rules);
    protocol.analysis.level = 0.9;
    const changed = reviewFingerprint({ ...smallReview, 'protocol.json': JSON.stringify(protocol) });
    expect(changed.rules).not.toBe(usual.rules);
    expect(changed.data).toBe(usual.data);
  });

  it('an optional column without entries makes no difference; a missing sheet does', () => {
    const wider = rowsOf('flow.csv').map((row, at) => [...row, at === 0 ? 'notes' : '']);
    expect(reviewFingerprint({ ...smallReview, 'flow.csv': stringify(wider) })).toEqual(usual);
    const { 'flow.csv': _, ...without } = smallReview;
    expect(reviewFingerprint(without).data).not.toBe(usual.data);
  });

  it('takes bytes that are no text as they are', () => {
    const odd = { ...smallReview, 'flow.csv': new Uint8Array([0x73, 0xff, 0x0a]) };
    expect(reviewFingerprint(odd).files['flow.csv']).toBe(
      createHash('sha256')
        .update(new Uint8Array([0x73, 0xff, 0x0a]))
        .digest('hex'),
    );
  });

  it('names no platform: the sources import nothing of Node', () => {
    const text = readFileSync(
      new URL('../../../src/extraction/provenance/fingerprint.ts', import.meta.url),
      'utf8',
    );
    expect(text).not.toMatch(/from 'node:/);
  });
});
