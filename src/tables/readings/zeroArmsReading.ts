import { rateInterval } from '../../effects/rateInterval.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { rowsOfArm } from '../../extraction/armEvents.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';
import { counted } from '../../wording/words.ts';
import { percentDigits } from '../rateText.ts';
import { reportedCell, type Table, table } from '../table.ts';

/** Arms in the pools without a single event, smallest first. */
export function armsWithoutEvents(pools: SitePools): readonly ArmEvents[] {
  return pools.sites
    .flatMap(({ pool }) => pool.arms)
    .filter((arm) => arm.events === 0)
    .sort((a, b) => a.total - b.total || (a.label < b.label ? -1 : 1));
}

/** Arms without events, each with the highest rate its size still allows (exact two-sided interval). */
export function zeroArmsTable(pools: SitePools, options: { readonly caption?: string } = {}): Table {
  const level = pools.sites[0]?.pool.options.level ?? 0.95;
  const names = new Map(pools.sites.map(({ site, name }) => [site as string, name]));
  return table({
    caption: options.caption ?? 'Arms without events, and the rate each cannot rule out',
    columns: [
      { key: 'study', heading: 'Study' },
      { key: 'site', heading: 'Site' },
      { key: 'total', heading: 'Shoulders', align: 'right' },
      { key: 'upper', heading: 'Up to, per 100', align: 'right', shownIn: 'page' },
      { key: 'upperValue', heading: 'upper_limit', shownIn: 'file' },
      { key: 'locator', heading: 'Read from' },
    ],
    sources: armsWithoutEvents(pools).map((arm) => rowsOfArm(arm)),
    rows: armsWithoutEvents(pools).map((arm) => {
      const { upper } = rateInterval({ events: 0, total: arm.total }, { method: 'clopper-pearson', level });
      return {
        study: arm.label,
        site: names.get(arm.site) ?? arm.site,
        total: arm.total,
        upper: percentDigits(upper),
        upperValue: upper,
        locator: [...new Set(rowsOfArm(arm).map(({ locator }) => reportedCell(locator)))].join('; '),
      };
    }),
  });
}

/** What arms without events can and cannot rule out. */
export function zeroArmsReading(pools: SitePools): string {
  const arms = armsWithoutEvents(pools);
  const level = pools.sites[0]?.pool.options.level ?? 0.95;
  const [smallest] = arms;
  const largest = arms.at(-1);
  if (smallest === undefined || largest === undefined)
    return 'Every arm in the pools had at least one event.';
  const upper = (arm: ArmEvents) =>
    percentDigits(rateInterval({ events: 0, total: arm.total }, { method: 'clopper-pearson', level }).upper);
  if (smallest === largest) {
    return `One arm had no event: ${smallest.label}, with ${counted(smallest.total, 'shoulder')}. It is compatible with a true rate of up to ${upper(smallest)} in 100.`;
  }
  return (
    `${counted(arms.length, 'arm')} had no event. That is weak evidence when the arm is small: ${smallest.label}, with ` +
    `${counted(smallest.total, 'shoulder')}, is compatible with a true rate of up to ${upper(smallest)} in 100, and even the largest, ` +
    `${largest.label} with ${counted(largest.total, 'shoulder')}, with up to ${upper(largest)}.`
  );
}
