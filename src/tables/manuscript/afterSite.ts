import { type PooledSite, siteNames } from '../../extraction/site.ts';

/** After which treatment: `after subpectoral fixation`, `after tenotomy`. */
export const after = (site: PooledSite): string =>
  site === 'tenotomy'
    ? 'after tenotomy'
    : site === 'top-of-groove'
      ? 'after fixation at the top of the groove'
      : `after ${siteNames[site].toLowerCase()} fixation`;
