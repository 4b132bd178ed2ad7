import type { RowAddress } from '../extraction/rowAddress.ts';
import { checkChoice, show } from '../pooling/optionChecks.ts';
import { type CertaintyDomain, certaintyDomains, domainsUp } from './certaintyRating.ts';

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

/** Levels a decision on a domain may take. */
export function levelsAllowed(domain: CertaintyDomain): readonly number[] {
  if (domain === 'large effect') return [0, 1, 2];
  return (domainsUp as readonly string[]).includes(domain) ? [0, 1] : [0, -1, -2, -3];
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
    const allowed = levelsAllowed(domain);
    if (!allowed.includes(levels))
      throw new RangeError(
        `levels of ${domain} must be one of ${allowed.join(', ')}, received ${show(levels)}`,
      );
    if (typeof reason !== 'string' || reason.trim() === '')
      throw new RangeError(`a decision on ${domain} needs a reason in words`);
  }
}
