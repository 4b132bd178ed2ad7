import type { NetworkResult } from '../comparison/network/networkResult.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { plainLine, truncateText } from './fitText.ts';
import { countOf } from './formatNumber.ts';
import { siteGlyph } from './marks/siteGlyph.ts';
import { isSite, pairName, type TreatmentNames, treatmentColour, treatmentName } from './networkNames.ts';
import { palette } from './palette.ts';
import { type Mark, shape } from './shape.ts';
import { put, startSheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

export interface NetworkMapOptions extends FigureOptions {
  readonly names?: TreatmentNames;
}

interface Node {
  readonly treatment: string;
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  readonly shoulders: number;
}

interface Edge {
  readonly one: Node;
  readonly other: Node;
  /** One for each study, true for a randomised trial (or where no design is known); trials first. */
  readonly threads: readonly boolean[];
}

/** More studies than this on one edge are drawn closer together, so that the bundle stays between its nodes. */
const widestBundle = 22;
const threadGap = 3.2;

/**
 * Which treatments were compared with which, by how many studies and shoulders?
 *
 * A node's area is its number of shoulders (of studies where counts are not known). Every study is a thread between the
 * nodes it compares, unbroken for a randomised trial and broken for any other; the figure on it is the number of studies.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * networkMap(fitNetwork(studies), { width: '90mm' })
 */
export function networkMap(result: NetworkResult, options: NetworkMapOptions = {}): string {
  refuseUnknownOptions('networkMap', options, [...figureOptionNames, 'names']);
  const resolved = resolveFigureOptions(options, { title: 'Who was compared with whom', idPrefix: 'map' });
  const { page } = resolved;
  const { names = {} } = options;
  const sheet = startSheet(resolved);
  const studies = result.parts.flatMap((part) => part.studies);
  const counted = studies.length > 0 && studies.every(({ counts }) => counts !== undefined);
  const sizes = new Map<string, number>();
  for (const { treatments, counts } of studies)
    treatments.forEach((treatment, i) => {
      sizes.set(treatment, (sizes.get(treatment) ?? 0) + (counted ? counts![i]!.total : 1));
    });
  const largest = Math.max(1, ...sizes.values());
  const { treatments } = result;
  const crowded = treatments.length > 6;
  const biggestRadius = page.narrow ? (crowded ? 9 : 15) : 22;
  const room = page.narrow ? 46 : 70;
  const reachX = page.width / 2 - page.margin - room;
  const reachY = page.narrow ? (crowded ? 100 : 72) : 112;
  const labelHeight = 2 * page.lineHeight + 6;
  const top = sheet.y + labelHeight + biggestRadius;
  const centre = { x: page.width / 2, y: top + reachY };
  const nodes = treatments.map((treatment, i): Node => {
    const angle = (2 * Math.PI * i) / Math.max(1, treatments.length) - Math.PI / 2;
    const shoulders = sizes.get(treatment) ?? 0;
    return {
      treatment,
      x: centre.x + reachX * Math.cos(angle),
      y: centre.y + reachY * Math.sin(angle),
      radius: Math.max(4, biggestRadius * Math.sqrt(shoulders / largest)),
      shoulders,
    };
  });
  // Where no design is known, no thread may look like a lesser one.
  const designed = studies.some(({ design }) => design !== undefined);
  const edges = edgesOf(result, nodes, designed);
  const unit = counted ? 'shoulder' : 'arm';
  for (const edge of edges) sheet.marks.push(threadMark(edge));
  for (const node of nodes) sheet.marks.push(nodeMark(node));
  const taken: Area[] = nodes.map(({ x, y, radius }) => ({
    x,
    y,
    halfWidth: radius + 2,
    halfHeight: radius + 2,
  }));
  for (const node of nodes) {
    const above = node.y < centre.y - 0.2 * reachY;
    const first = above
      ? node.y - node.radius - 5 - page.lineHeight
      : node.y + node.radius + 3 + page.textSize;
    const size = `${node.shoulders.toLocaleString('en-GB')} ${unit}${node.shoulders === 1 ? '' : 's'}`;
    const whole = treatmentName(node.treatment, names);
    const name = truncateText(plainLine(whole), page.narrow ? 76 : 130, page.textSize, 'semibold');
    const widest = Math.max(textWidth(name, page.textSize, 'semibold'), textWidth(size, page.noteSize));
    // Beside the ring the label is pushed to the edge of the page, out of the way of the threads.
    const side = page.narrow && Math.abs(node.x - centre.x) > 0.6 * reachX ? Math.sign(node.x - centre.x) : 0;
    const x = Math.min(
      Math.max(node.x + side * page.width, page.margin + widest / 2),
      page.width - page.margin - widest / 2,
    );
    const label = {
      x,
      y: first - page.textSize + page.lineHeight,
      halfWidth: widest / 2 + 1,
      halfHeight: page.lineHeight + 1,
    };
    taken.push(label);
    sheet.marks.push(groundMark(label));
    put(sheet, name, x, first, {
      size: page.textSize,
      face: 'semibold',
      anchor: 'middle',
      fill: treatmentColour(node.treatment),
    });
    put(sheet, size, x, first + page.lineHeight, {
      size: page.noteSize,
      anchor: 'middle',
      fill: palette.quiet,
    });
  }
  for (const edge of edges) {
    const mark = countPlace(edge, page.noteSize, crossesCentre(edge, centre), taken);
    // Without room the threads speak for themselves; the description has every number.
    if (mark === undefined) continue;
    taken.push(mark);
    sheet.marks.push(groundMark(mark));
    put(sheet, String(edge.threads.length), mark.x, mark.y + 0.34 * page.noteSize, {
      size: page.noteSize,
      face: 'bold',
      anchor: 'middle',
    });
  }
  sheet.y = centre.y + reachY + biggestRadius + labelHeight + 4;
  const several = studies.filter((study) => study.treatments.length > 2);
  const notes = [
    `Disc area: ${unit}s. Each thread is a study${designed ? ', unbroken for a randomised trial, broken for any other design' : ''}; the figure counts them.`,
    ...(several.length > 0
      ? [
          `${countOf(several.length, 'study has', 'studies have')} more than two of these arms and a thread in each of ${several.length === 1 ? 'its' : 'their'} comparisons.`,
        ]
      : []),
    ...(result.parts.length > 1 ? ['No study links the parts: nothing can be said between them.'] : []),
    ...(treatments.length === 0 ? ['No study compares two of these treatments.'] : []),
  ];
  return drawSheet(sheet, resolved, {
    notes,
    description: `Network map. ${nodes.map(({ treatment, shoulders }) => `${treatmentName(treatment, names)}: ${shoulders} ${unit}s`).join('; ')}. ${edges.map(({ one, other, threads }) => `${pairName(one.treatment, other.treatment, names)}: ${countOf(threads.length, 'study', 'studies')}${designed ? `, ${threads.filter(Boolean).length} randomised` : ''}`).join('; ')}.`,
  });
}

function edgesOf(result: NetworkResult, nodes: readonly Node[], designed: boolean): readonly Edge[] {
  const studies = result.parts.flatMap((part) => part.studies);
  return nodes.flatMap((one, i) =>
    nodes.slice(i + 1).flatMap((other) => {
      const threads = studies
        .filter(
          ({ treatments }) => treatments.includes(one.treatment) && treatments.includes(other.treatment),
        )
        .map(({ design }) => !designed || design === 'randomised trial')
        .sort((a, b) => Number(b) - Number(a));
      return threads.length > 0 ? [{ one, other, threads }] : [];
    }),
  );
}

/** A bundle of parallel lines, one a study. */
const threadMark =
  ({ one, other, threads }: Edge): Mark =>
  ({ document }) => {
    const length = Math.hypot(other.x - one.x, other.y - one.y);
    const [nx, ny] = [-(other.y - one.y) / length, (other.x - one.x) / length];
    const gap = Math.min(threadGap, widestBundle / Math.max(1, threads.length - 1));
    return shape(
      document,
      'g',
      { class: 'edge' },
      threads.map((randomised, i) => {
        const shift = (i - (threads.length - 1) / 2) * gap;
        return shape(document, 'path', {
          class: 'thread',
          d: `M${one.x + shift * nx},${one.y + shift * ny}L${other.x + shift * nx},${other.y + shift * ny}`,
          stroke: randomised ? palette.ink : palette.quiet,
          'stroke-width': randomised ? 1.2 : 0.8,
          'stroke-dasharray': randomised ? undefined : '4 2.4',
          fill: 'none',
        });
      }),
    );
  };

const nodeMark =
  (node: Node): Mark =>
  (canvas) => {
    const { treatment, x, y, radius } = node;
    const { document } = canvas;
    const parts = [
      shape(document, 'circle', { class: 'halo', cx: x, cy: y, r: radius + 1.5, fill: palette.paper }),
      shape(document, 'circle', {
        class: 'node',
        cx: x,
        cy: y,
        r: radius,
        fill: radius >= 8.5 && isSite(treatment) ? palette.paper : treatmentColour(treatment),
        stroke: treatmentColour(treatment),
        'stroke-width': 2,
      }),
    ];
    // A disc with room shows how the site is told without colour.
    if (radius >= 8.5 && isSite(treatment)) parts.push(siteGlyph(treatment, x - 3, y)(canvas));
    return shape(document, 'g', { class: 'treatment' }, parts);
  };

/** Does the edge pass the middle of the ring, where others may cross it? */
function crossesCentre({ one, other }: Edge, centre: { readonly x: number; readonly y: number }): boolean {
  const length = Math.hypot(other.x - one.x, other.y - one.y);
  const off =
    Math.abs((other.x - one.x) * (one.y - centre.y) - (one.x - centre.x) * (other.y - one.y)) / length;
  return off < 14;
}

/** A piece of the page, by its middle. */
interface Area {
  readonly x: number;
  readonly y: number;
  readonly halfWidth: number;
  readonly halfHeight: number;
}

const groundMark =
  ({ x, y, halfWidth, halfHeight }: Area): Mark =>
  ({ document }) =>
    shape(document, 'rect', {
      class: 'ground',
      x: x - halfWidth,
      y: y - halfHeight,
      width: 2 * halfWidth,
      height: 2 * halfHeight,
      rx: 3,
      fill: palette.paper,
    });

/** Where along an edge its number stands: halfway (off the middle where edges cross), or the nearest free place. */
function countPlace(
  { one, other, threads }: Edge,
  size: number,
  crossed: boolean,
  taken: readonly Area[],
): Area | undefined {
  const halfWidth = textWidth(String(threads.length), size, 'bold') / 2 + 3;
  const halfHeight = size / 2 + 1.5;
  const steps = Array.from({ length: 13 }, (_, i) => 0.05 * Math.ceil(i / 2) * (i % 2 === 0 ? 1 : -1));
  const start = crossed ? 0.3 : 0.5;
  const tries = steps.map((step) => start + step).filter((along) => along >= 0.15 && along <= 0.85);
  const areas = tries.map(
    (along): Area => ({
      x: one.x + along * (other.x - one.x),
      y: one.y + along * (other.y - one.y),
      halfWidth,
      halfHeight,
    }),
  );
  const free = (area: Area): boolean =>
    taken.every(
      (each) =>
        Math.abs(each.x - area.x) > each.halfWidth + area.halfWidth ||
        Math.abs(each.y - area.y) > each.halfHeight + area.halfHeight,
    );
  return areas.find(free);
}
