const linear = (channel: number): number =>
  channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;

/** Relative luminance of a `#rrggbb` colour, 0 for black to 1 for white (WCAG 2.2, "relative luminance"). */
export function luminance(colour: string): number {
  if (!/^#[0-9a-f]{6}$/i.test(colour)) throw new RangeError(`colour must be #rrggbb, received ${colour}`);
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((start) =>
    linear(Number.parseInt(colour.slice(start, start + 2), 16) / 255),
  );
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** Contrast ratio of two colours, 1 to 21 (WCAG 2.2, "contrast ratio"). */
export function contrastRatio(first: string, second: string): number {
  const [dark = 0, light = 0] = [luminance(first), luminance(second)].sort((a, b) => a - b);
  return (light + 0.05) / (dark + 0.05);
}

/** CIE lightness of a colour, 0 to 100: what is left of it on a grey printer. */
export function lightness(colour: string): number {
  const value = luminance(colour);
  return value > 0.008856 ? 116 * Math.cbrt(value) - 16 : 903.3 * value;
}
