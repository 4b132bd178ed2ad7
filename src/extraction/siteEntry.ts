import { pooledSites } from './site.ts';

/**
 * What an extractor may write for a site: a pooled site, soft tissue, mid-groove (which the
 * protocol's rule then places) with its half where known, or `unclassified`.
 */
export const siteEntries = [
  ...pooledSites,
  'mid-groove',
  'mid-groove-upper-half',
  'mid-groove-lower-half',
  'soft-tissue',
  'unclassified',
] as const;
export type SiteEntry = (typeof siteEntries)[number];
