import { pointsPerMillimetre } from '../../figures/pageSize.ts';

/** What journals ask of a figure (common practice, no source): points and millimetres at the printed size. */
export const printLimits = { smallestText: 8, thinnestLine: 0.5, tallest: 225 } as const;

/** The size of a figure on paper, and whether it keeps to what journals ask for. */
export interface PrintSize {
  readonly width: number;
  readonly height: number;
  /** Smallest text and thinnest line, in points. */
  readonly smallestText: number;
  readonly thinnestLine: number;
  /** What is not as asked for, in sentences; empty when all is well. */
  readonly complaints: readonly string[];
}

const numbers = (svg: string, attribute: string): readonly number[] =>
  [...svg.matchAll(new RegExp(` ${attribute}="([\\d.]+)"`, 'g'))].map((match) => Number(match[1]));

/**
 * Measures a figure as it will be printed.
 *
 * @param millimetres the width it must have, exactly
 */
export function checkPrintSize(svg: string, millimetres: number): PrintSize {
  const root = /^<svg[^>]*>/.exec(svg)?.[0] ?? '';
  const size = (name: string): number => Number(new RegExp(` ${name}="([\\d.]+)mm"`).exec(root)?.[1]);
  const [width, height] = [size('width'), size('height')];
  const units = Number(/ viewBox="0 0 ([\d.]+) /.exec(root)?.[1]);
  const smallestText = Math.min(...numbers(svg, 'font-size'));
  const thinnestLine = Math.min(...numbers(svg, 'stroke-width'));
  const complaints: string[] = [];
  if (width !== millimetres) complaints.push(`It is ${width} mm wide, not ${millimetres}.`);
  if (!(Math.abs(units - width * pointsPerMillimetre) < 0.001))
    complaints.push('One unit of the picture is not one point.');
  if (!(smallestText >= printLimits.smallestText))
    complaints.push(`Its smallest text is ${smallestText} pt; journals ask for ${printLimits.smallestText}.`);
  if (!(thinnestLine >= printLimits.thinnestLine))
    complaints.push(`Its thinnest line is ${thinnestLine} pt; journals ask for ${printLimits.thinnestLine}.`);
  if (!(height <= printLimits.tallest))
    complaints.push(
      `It is ${height.toFixed(0)} mm tall; a page holds ${printLimits.tallest}. Agree on it with the journal, or show it online.`,
    );
  return { width, height, smallestText, thinnestLine, complaints };
}
