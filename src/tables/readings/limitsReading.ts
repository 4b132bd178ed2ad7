import type { ArmEvents } from '../../extraction/armEvents.ts';
import { isReported } from '../../extraction/reported.ts';
import { countsBeside } from '../../pooling/armsInNumber.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import { counted } from '../../wording/words.ts';

/** What this evidence cannot tell, from its designs, its assessors, its follow-up and its size. */
export function limitsReading(pools: SitePools): readonly string[] {
  const arms = pools.sites.flatMap(({ pool }) => pool.arms);
  if (arms.length === 0) return ['No arm reports this outcome, so nothing can be told.'];
  return [
    designLimit(arms),
    assessorLimit(arms),
    followUpLimit(arms),
    ...sizeLimit(pools),
    ...quotedLimit(pools),
  ];
}

/** Where the quoted number leans on something that the counts do not show. */
function quotedLimit({ sites }: SitePools): readonly string[] {
  const named = (holds: (pool: PooledRate) => boolean): string =>
    sites
      .filter(({ pool }) => holds(pool))
      .map(({ name }) => name)
      .join(', ');
  const leaning = named(({ quoted }) => quoted?.because === 'no-limit');
  const oneRate = named(({ quoted, arms }) => quoted?.estimand === 'one series' && arms.length > 1);
  return [
    ...(leaning === ''
      ? []
      : [
          `The counts alone give no interval, so that the quoted one is a posterior’s and leans on its priors: ${leaning}.`,
        ]),
    ...(oneRate === ''
      ? []
      : [
          `The exact interval takes all shoulders as one series and holds only if the studies share one rate: ${oneRate}.`,
        ]),
  ];
}

function designLimit(arms: readonly ArmEvents[]): string {
  const randomised = arms.filter((arm) => arm.design === 'randomised trial').length;
  const opening =
    randomised === 0
      ? `None of the ${counted(arms.length, 'arm')} comes from a randomised trial`
      : `${counted(randomised, 'arm')} of ${arms.length} ${randomised === 1 ? 'comes' : 'come'} from randomised trials`;
  return `${opening}, and each site is pooled by itself. Whether the site makes the difference cannot be told from these rates: the patients, the surgeons and the years differ too.`;
}

function assessorLimit(arms: readonly ArmEvents[]): string {
  const tally = new Map<string, number>();
  for (const arm of arms) tally.set(arm.assessor, (tally.get(arm.assessor) ?? 0) + 1);
  const parts = [...tally].sort((a, b) => b[1] - a[1]).map(([assessor, count]) => `${assessor} (${count})`);
  return parts.length === 1
    ? `Everywhere the outcome was judged by the same kind of assessor: ${parts[0]}.`
    : `Who judged the outcome differs between arms: ${parts.join(', ')}. Asking, examining and reading charts find different rates, so part of a difference may be who looked.`;
}

function followUpLimit(arms: readonly ArmEvents[]): string {
  const months = arms.map((arm) => arm.followUpMonths).filter(isReported);
  const missing = arms.length - months.length;
  const silent =
    missing === 0 ? '' : ` ${counted(missing, 'arm')} ${missing === 1 ? 'does' : 'do'} not report it.`;
  if (months.length === 0) return 'No arm reports its follow-up, so the rates have no time attached.';
  const [low, high] = [Math.min(...months), Math.max(...months)];
  return low === high
    ? `Follow-up is ${low} months throughout.${silent}`
    : `Follow-up runs from ${low} to ${high} months, so one rate is not another's equal in time.${silent}`;
}

function sizeLimit(pools: SitePools): readonly string[] {
  const few = pools.sites
    .map(({ name, pool }) => ({ name, studies: countsBeside(pool).studies }))
    .filter(({ studies }) => studies > 0 && studies < 5);
  if (few.length === 0) return [];
  const names = few.map(({ name, studies }) => `${name} (${studies})`).join(', ');
  return [
    `Fewer than five studies stand behind: ${names}. How much studies differ there is close to a guess.`,
  ];
}
