import type { ClassifiedSite } from '../extraction/site.ts';

/**
 * The colours of every figure. Fixation sites run from dark to middle in cool hues, the release alone is
 * warm, so that the order survives a grey printer. Contrast figures stand in docs/design.md.
 */
export const palette = {
  paper: '#ffffff',
  ink: '#1b1f27',
  quiet: '#4a5260',
  hairline: '#c3c9d2',
  comparison: '#1b4a5e',
  notice: '#7a2230',
} as const;

export const siteColours: Readonly<Record<ClassifiedSite, string>> = {
  'top-of-groove': '#1b2457',
  suprapectoral: '#5b2a7a',
  subpectoral: '#0a6067',
  tenotomy: '#b55504',
  'soft-tissue': '#565e6b',
  unclassified: '#565e6b',
};

/** Greys of the significance regions of a funnel plot, from not significant to most. */
export const regionGreys = ['#ffffff', '#eceef1', '#dbdfe5', '#c9cfd7'] as const;

/** Greys of a strip of shares, from few to nearly all; the lightest is told from the page by its frame. */
export const shareGreys = ['#dbdfe5', '#a9b1bd', '#6b7482', '#1b1f27'] as const;
