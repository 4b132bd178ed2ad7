import { counted } from '../wording/words.ts';
import type { BodyDesign } from './bodyOfEvidence.ts';

const together = 'pooled together as the protocol asks';

/** Studies of a body, for a count of one and of several. */
const studyNames: Readonly<Record<BodyDesign, readonly [one: string, several: string]>> = {
  'arms at one site': ['study', 'studies'],
  'randomised trials': ['randomised trial', 'randomised trials'],
  'non-randomised studies': ['non-randomised study', 'non-randomised studies'],
  'all comparative studies': ['comparative study', 'comparative studies'],
  'series against series': ['study, of one site', 'studies, each of one site'],
  network: ['study of the network', 'studies of the network'],
};

interface StudiesOfBody {
  readonly design: BodyDesign;
  readonly studies: number;
  readonly trials?: number | undefined;
}

const byKind = (trials: number, studies: number): string =>
  `${counted(trials, 'randomised trial')} and ${counted(studies - trials, 'other study', 'other studies')}`;

/**
 * Which studies a number rests on. A body that mixes trials with other studies says so, and how many of each.
 *
 * @param which words that belong to the studies: ` that did both`
 * @example
 * bodyInWords({ design: 'all comparative studies', studies: 7, trials: 3 })
 * // '3 randomised trials and 4 other studies, pooled together as the protocol asks'
 */
export function bodyInWords({ design, studies, trials }: StudiesOfBody, which = ''): string {
  if (design === 'all comparative studies' && trials !== undefined)
    return `${byKind(trials, studies)}${which}, ${together}`;
  const all = `${counted(studies, ...studyNames[design])}${which}`;
  return design === 'network' && trials !== undefined && trials > 0 && trials < studies
    ? `${all} (${byKind(trials, studies)})`
    : all;
}

/** A body by its name alone, where no studies are counted; a mixture is named as one. */
export const bodyName = (design: BodyDesign): string =>
  design === 'all comparative studies' ? `randomised trials and other studies ${together}` : design;

/** What stands behind a number of a mixture of studies, so that no line shows it without; empty for every other body. */
export const mixtureNote = (design: BodyDesign): string =>
  design === 'all comparative studies' ? `; ${bodyName(design)}` : '';
