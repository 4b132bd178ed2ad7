import type { LiveView } from '../state/liveState.ts';
import { changeView } from './changeView.ts';
import { claimView } from './claimView.ts';
import { forestView } from './forestView.ts';
import { funnelView } from './funnelView.ts';
import { ratesView } from './ratesView.ts';
import { sitesView } from './sitesView.ts';
import type { ViewDefinition } from './viewContent.ts';

/** Every view, in the order of their buttons. */
export const views: Readonly<Record<LiveView, ViewDefinition>> = {
  rates: ratesView,
  forest: forestView,
  funnel: funnelView,
  sites: sitesView,
  claim: claimView,
  change: changeView,
};
