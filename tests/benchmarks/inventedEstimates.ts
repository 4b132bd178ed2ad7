import type { Estimate } from '../../src/effects/estimate.ts';

/** Invented log odds with their variances, the same at every run. */
export function inventedEstimates(count: number): Estimate[] {
  let state = 20260101;
  const random = (): number => {
    state = (Math.imul(state, 48271) >>> 0) % 2147483647;
    return state / 2147483647;
  };
  return Array.from({ length: count }, (_, i) => {
    const total = 15 + Math.floor(120 * random());
    const events = 1 + Math.floor((total - 1) * (0.05 + 0.3 * random()));
    return {
      study: `study-${i}`,
      label: `Place ${i} 2020`,
      arm: `arm-${i}`,
      value: Math.log(events / (total - events)),
      variance: 1 / events + 1 / (total - events),
      scale: 'logit',
      count: { events, total },
      addedToEachCell: 0,
      rows: [{ file: 'events.csv', line: i + 2, locator: 'not reported' }],
    };
  });
}
