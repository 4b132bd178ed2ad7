import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { inflateSync } from 'node:zlib';
import { expect, it } from 'vitest';
import { woffFromTrueType } from '../../src/publishing/woff.ts';

const file = createRequire(import.meta.url).resolve(
  '@expo-google-fonts/source-sans-3/400Regular/SourceSans3_400Regular.ttf',
);

it('packs a font from which every table comes back unchanged (WOFF 1.0, sections 3 to 5)', () => {
  const font = readFileSync(file);
  const woff = Buffer.from(woffFromTrueType(font));
  expect(woff.toString('latin1', 0, 4)).toBe('wOFF');
  expect(woff.readUInt32BE(8)).toBe(woff.length);
  const count = woff.readUInt16BE(12);
  expect(count).toBe(font.readUInt16BE(4));
  for (let at = 0; at < count; at += 1) {
    const entry = 44 + at * 20;
    const [offset, packedLength, length] = [4, 8, 12].map((field) => woff.readUInt32BE(entry + field));
    const packed = woff.subarray(offset, offset! + packedLength!);
    const table = packedLength! < length! ? inflateSync(packed) : packed;
    const original = 12 + at * 16;
    expect(woff.readUInt32BE(entry)).toBe(font.readUInt32BE(original));
    const start = font.readUInt32BE(original + 8);
    expect(table.equals(font.subarray(start, start + font.readUInt32BE(original + 12)))).toBe(true);
    expect(offset! % 4).toBe(0);
  }
});
