import type { RowAddress } from '../extraction/rowAddress.ts';
import { decidedLevels } from '../extraction/sheets/certaintySheet.ts';
import { checkChoice, show } from '../pooling/optionChecks.ts';
import type { BodyDesign } from './bodyOfEvidence.ts';
import { type CertaintyDomain, certaintyDomains } from './certaintyRating.ts';

/** What a person decided on one domain, with the reason. */
export interface CertaintyDecision {
  readonly domain: CertaintyDomain;
  /** 0, or -1 to -3 down, or 1 to 2 up for the three domains that rate up. */
  readonly levels: number;
  /** Always there, also where the proposal was kept. */
  readonly reason: string;
  /** Role or initial, no name. */
  readonly decidedBy: string | undefined;
  readonly date: string | undefined;
  /** What the data proposed when it was decided; a decision is stale when that has changed. */
  readonly proposedThen: number | undefined;
  readonly row: RowAddress | undefined;
}

/** Why a decision does not count. */
export const reasonsOpen = [
  'another body',
  'the body has changed since',
  'no record of what it held',
  'no body named',
  'the pair the other way round',
] as const;
export type ReasonOpen = (typeof reasonsOpen)[number];

/** A decision that was taken and does not count for the body that is rated: it must be taken again. */
export interface OpenDecision extends CertaintyDecision {
  /** The body it was taken on; undefined where the row names none. */
  readonly body: BodyDesign | undefined;
  readonly why: ReasonOpen;
}

/**
 * Throws unless each decision is on a domain, within its levels, has a reason, and is the only one on its domain.
 *
 * @throws RangeError naming the domain and the value received
 */
export function checkDecisions(decisions: readonly CertaintyDecision[]): void {
  const seen = new Set<string>();
  for (const { domain, levels, reason } of decisions) {
    checkChoice('domain', domain, certaintyDomains);
    if (seen.has(domain)) throw new RangeError(`${domain} is decided twice`);
    seen.add(domain);
    const allowed = decidedLevels(domain);
    if (!allowed.includes(levels))
      throw new RangeError(
        `levels of ${domain} must be one of ${allowed.join(', ')}, received ${show(levels)}`,
      );
    if (typeof reason !== 'string' || reason.trim() === '')
      throw new RangeError(`a decision on ${domain} needs a reason in words`);
  }
}
