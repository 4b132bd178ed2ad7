import type { SitePools } from '../../pooling/poolBySite.ts';
import { counted } from '../../wording/words.ts';

/** Arms that belong to none of the four sites, so that nobody overlooks them. */
export function outsideReading(pools: SitePools): string {
  if (pools.outside.length === 0) return 'Every arm could be put at one of the four sites.';
  const groups = pools.outside.map(
    ({ name, arms }) =>
      `${name}: ${counted(arms.length, 'arm')} (${arms.map(({ label }) => label).join(', ')})`,
  );
  return `Outside the four pools, but listed above: ${groups.join('; ')}.`;
}
