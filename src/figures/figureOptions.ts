import { clinicalCaution } from '../wording/clinicalCaution.ts';
import { plainLine } from './fitText.ts';
import { type FigureWidth, type PageSize, pageSize } from './pageSize.ts';

/** What every figure takes. */
export interface FigureOptions {
  /** `'90mm'`, `'190mm'` (default) or a number of millimetres. */
  readonly width?: FigureWidth;
  readonly title?: string;
  /** A line under the title: definition, time window, who looked. */
  readonly subtitle?: string;
  /** Printed in a frame within the picture, such as the invented-data notice. */
  readonly notice?: string;
  /** Last line of the picture; an empty text leaves it out. Default {@link clinicalCaution}. */
  readonly caution?: string;
  /** Start of every id, so that several pictures can share a page. Letters, digits, hyphens. */
  readonly idPrefix?: string;
  /** Where to make elements; a browser passes its own. Default: a blank document made in memory. */
  readonly document?: Document;
}

export interface ResolvedFigureOptions {
  readonly page: PageSize;
  readonly title: string;
  readonly subtitle: string | undefined;
  readonly notice: string | undefined;
  readonly caution: string | undefined;
  readonly idPrefix: string;
  readonly document: Document | undefined;
}

export const figureOptionNames = [
  'width',
  'title',
  'subtitle',
  'notice',
  'caution',
  'idPrefix',
  'document',
] as const;

/** Refuses option names a figure does not know, naming those it does. */
export function refuseUnknownOptions(figure: string, options: object, known: readonly string[]): void {
  for (const name of Object.keys(options))
    if (!known.includes(name))
      throw new RangeError(`${figure}: unknown option '${name}'; known are ${known.join(', ')}`);
}

/** Refuses a value outside a list, naming the list. */
export function chooseFrom<T extends string>(
  name: string,
  value: T | undefined,
  allowed: readonly T[],
  fallback: T,
): T {
  if (value === undefined) return fallback;
  if (!allowed.includes(value))
    throw new RangeError(
      `${name} must be one of ${allowed.map((choice) => `'${choice}'`).join(', ')}, received '${String(value)}'`,
    );
  return value;
}

const filled = (text: string | undefined): string | undefined => {
  const line = plainLine(text ?? '');
  return line === '' ? undefined : line;
};

export function resolveFigureOptions(
  options: FigureOptions,
  defaults: { readonly title: string; readonly idPrefix: string },
): ResolvedFigureOptions {
  const idPrefix = options.idPrefix ?? defaults.idPrefix;
  if (!/^[A-Za-z][\w-]*$/.test(idPrefix))
    throw new RangeError(
      `idPrefix must be letters, digits, hyphens and start with a letter, received '${idPrefix}'`,
    );
  return {
    page: pageSize(options.width ?? '190mm'),
    title: filled(options.title) ?? defaults.title,
    subtitle: filled(options.subtitle),
    notice: filled(options.notice),
    caution: filled(options.caution ?? clinicalCaution),
    idPrefix,
    document: options.document,
  };
}
