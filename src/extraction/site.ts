/** The four places (or the release) that are pooled, from proximal to distal. */
export const pooledSites = ['top-of-groove', 'suprapectoral', 'subpectoral', 'tenotomy'] as const;
export type PooledSite = (typeof pooledSites)[number];

/** What an arm can be classified as: a pooled site, or one of the two that stay visible outside the pools. */
export const classifiedSites = [...pooledSites, 'soft-tissue', 'unclassified'] as const;
export type ClassifiedSite = (typeof classifiedSites)[number];

/** Site names as printed. */
export const siteNames: Readonly<Record<ClassifiedSite, string>> = {
  'top-of-groove': 'Top of groove',
  suprapectoral: 'Suprapectoral',
  subpectoral: 'Subpectoral',
  tenotomy: 'Tenotomy',
  'soft-tissue': 'Soft tissue',
  unclassified: 'Site unclear',
};

/** Two sites in the order of {@link pooledSites}: the way round in which pairs are rated and decided on. */
export const inSiteOrder = (one: PooledSite, other: PooledSite): readonly [PooledSite, PooledSite] =>
  pooledSites.indexOf(one) < pooledSites.indexOf(other) ? [one, other] : [other, one];
