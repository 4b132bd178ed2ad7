import type { Estimate, LeftOut } from './estimate.ts';

/** Does this study have an estimate, or was it left out with a reason? */
export function isEstimate(result: Estimate | LeftOut): result is Estimate {
  return 'variance' in result;
}
