const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
/** Signature, then the header chunk: length, name, 13 bytes, check. */
const afterHeader = 8 + 4 + 4 + 13 + 4;

const crcTable = Array.from({ length: 256 }, (_, start) => {
  let value = start;
  for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? 0xedb88320 ^ (value >>> 1) : value >>> 1;
  return value >>> 0;
});

/** The check sum of a PNG chunk (PNG specification, third edition, annex D). */
function crc(bytes: Uint8Array): number {
  let value = 0xffffffff;
  for (const byte of bytes) value = crcTable[(value ^ byte) & 0xff]! ^ (value >>> 8);
  return (value ^ 0xffffffff) >>> 0;
}

/**
 * Writes into a PNG how many dots go to the inch, so that a layout program places it at its size on paper.
 *
 * The `pHYs` chunk holds dots per metre, in whole numbers: 300 to the inch are 11811 (PNG specification, third
 * edition, section 11.3.4.3).
 *
 * @throws RangeError for what is no PNG, or has such a chunk already
 */
export function pngWithResolution(png: Uint8Array, dotsPerInch: number): Uint8Array {
  const bytes = Buffer.from(png.buffer, png.byteOffset, png.byteLength);
  if (!bytes.subarray(0, 8).equals(signature) || bytes.toString('latin1', 12, 16) !== 'IHDR')
    throw new RangeError('the bytes received are no PNG');
  if (pngResolution(png) !== undefined) throw new RangeError('the PNG states its resolution already');
  const perMetre = Math.round(dotsPerInch / 0.0254);
  const chunk = Buffer.alloc(4 + 4 + 9 + 4);
  chunk.writeUInt32BE(9, 0);
  chunk.write('pHYs', 4, 'latin1');
  chunk.writeUInt32BE(perMetre, 8);
  chunk.writeUInt32BE(perMetre, 12);
  chunk.writeUInt8(1, 16);
  chunk.writeUInt32BE(crc(chunk.subarray(4, 17)), 17);
  return Buffer.concat([bytes.subarray(0, afterHeader), chunk, bytes.subarray(afterHeader)]);
}

/** What a PNG says of its size: pixels, and dots per metre where it states them. */
export function pngResolution(png: Uint8Array): number | undefined {
  const bytes = Buffer.from(png.buffer, png.byteOffset, png.byteLength);
  for (let at = 8; at + 8 <= bytes.length; at += 12 + bytes.readUInt32BE(at)) {
    const name = bytes.toString('latin1', at + 4, at + 8);
    if (name === 'pHYs') return bytes.readUInt32BE(at + 8);
    if (name === 'IDAT') return undefined;
  }
  return undefined;
}
