import type { SitePools } from '../../pooling/poolBySite.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { markAnswer } from '../../wording/answerMark.ts';
import { methodsDiffer } from '../ratesBySiteTable.ts';
import { otherMethodOf, percentDigits, percentLimits } from '../rateText.ts';

/** Whether the ways to pool agree, and at which sites a reader must not lean on one alone. */
export function methodsCheckReading(pools: SitePools): readonly string[] {
  const both = pools.sites.filter(
    ({ pool }) => pool.twoStep.natural !== undefined && pool.oneStep.rate !== undefined,
  );
  const apart = both.filter(({ pool }) => methodsDiffer(pool));
  const lines = apart.map(({ name, pool, answer }) => {
    const why = zeroArmsEffect(pool);
    if (pool.quoted !== undefined) {
      const other = otherMethodOf(pool)!;
      return `${name}: the method matters. ${pool.quoted.why} Quoted is ${markAnswer(answer, `${percentDigits(pool.headline!.rate)} (${percentLimits(pool.headline!.interval)})`)}, where ${other.words} gives ${percentDigits(other.rate)} in 100.${why}`;
    }
    const two = percentDigits(pool.twoStep.natural?.value ?? 0);
    const one = percentDigits(pool.oneStep.rate ?? 0);
    return `${name}: the two ways differ materially, ${two} against ${one} in 100. Quote both or neither.${why}`;
  });
  const agreeing = both.filter((site) => !apart.includes(site)).map(({ name }) => name);
  if (agreeing.length > 0)
    lines.push(`The methods do not tell a reader different numbers at: ${agreeing.join(', ')}.`);
  if (lines.length === 0) lines.push('At no site could both ways be used, so neither checks the other.');
  return lines;
}

/** What the pool of transformed rates did with arms it could not take as they are, and where that moves it. */
function zeroArmsEffect(pool: PooledRate): string {
  const left = pool.twoStep.leftOut.filter((entry) => entry.count?.events === 0).length;
  if (left > 0) {
    return ` The two-step pool had to leave out ${left === 1 ? 'one arm' : `${left} arms`} without events, which makes its rate too high.`;
  }
  const corrected = pool.twoStep.estimates.filter(
    (estimate) => estimate.addedToEachCell > 0 && estimate.count?.events === 0,
  );
  const added = corrected[0]?.addedToEachCell;
  if (added === undefined) return '';
  return ` The two-step pool added ${added} to the counts of ${corrected.length === 1 ? 'one arm' : `${corrected.length} arms`} without events, which pulls its rate up.`;
}
