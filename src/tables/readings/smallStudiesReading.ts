import type { SitePools } from '../../pooling/poolBySite.ts';

/** Fewer studies than this say nothing about asymmetry (Sterne JAC et al., BMJ 2011;343:d4002). */
export const fewestStudiesForAsymmetry = 10;

/** What may, and may not, be read off a funnel of rates against size. */
export function smallStudiesReading(pools: SitePools): string {
  const withArms = pools.sites.filter(({ pool }) => pool.studies > 0);
  const enough = withArms.filter(({ pool }) => pool.studies >= fewestStudiesForAsymmetry);
  const few = withArms.filter((site) => !enough.includes(site));
  const names = (sites: typeof withArms) =>
    sites.map(({ name, pool }) => `${name} (${pool.studies})`).join(', ');
  const sentences: string[] = [];
  if (few.length > 0) {
    sentences.push(
      `Fewer than ${fewestStudiesForAsymmetry} studies, so nothing is claimed about missing small studies: ${names(few)}.`,
    );
  }
  if (enough.length > 0) {
    sentences.push(
      `Enough studies to look at: ${names(enough)}. A lopsided picture there would not prove that studies are missing; small series also differ in patients and in how hard they looked.`,
    );
  }
  return sentences.length === 0 ? 'No site has a study to draw.' : sentences.join(' ');
}
