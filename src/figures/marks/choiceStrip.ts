import { shareGreys } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

// Set apart from one in four, one in three and one in two, so that an even spread makes an even strip.
const levelEnds = [0, 0.27, 0.55, 0.8] as const;

const levelOf = (share: number): number => levelEnds.filter((end) => share > end).length - 1;

/** One option along all columns: dark where most analyses took it, blank where none did. */
export function choiceStrip(
  shares: readonly number[],
  place: { readonly left: number; readonly step: number; readonly top: number; readonly height: number },
): Mark {
  const { left, step, top, height } = place;
  const runs = shareGreys.map(() => '');
  let start = 0;
  for (let index = 1; index <= shares.length; index++) {
    const level = levelOf(shares[start]!);
    if (index < shares.length && levelOf(shares[index]!) === level) continue;
    if (level >= 0)
      runs[level] +=
        `M${left + start * step},${top}h${(index - start) * step}v${height}h${-(index - start) * step}z`;
    start = index;
  }
  return ({ document }) =>
    shape(
      document,
      'g',
      { class: 'strip' },
      runs.flatMap((d, level) =>
        d === '' ? [] : [shape(document, 'path', { d, fill: shareGreys[level]! })],
      ),
    );
}
