import { peopleAmong } from '../../effects/peopleAmong.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { isReported } from '../../extraction/reported.ts';
import { countsBeside } from '../../pooling/armsInNumber.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';
import { counted } from '../../wording/words.ts';
import { methodsDiffer } from '../ratesBySiteTable.ts';
import { nextText, wholeText } from './aboutInHundred.ts';
import { baseForPools } from './poolInWords.ts';

/**
 * What do these rates not tell, in short sentences for a room?
 *
 * Designs, spread between hospitals, who looked, follow-up, few studies, studies that are silent, methods that disagree:
 * each only where it applies, most important first.
 *
 * @param silent studies of the review that do not report the outcome, and all of its studies
 * @example
 * unknownsInWords(pools, { silent: 12, all: 53 })
 */
export function unknownsInWords(
  pools: SitePools,
  studies: { readonly silent: number; readonly all: number },
): readonly string[] {
  const arms = pools.sites.flatMap(({ pool }) => pool.arms);
  const silent =
    studies.silent === 0
      ? []
      : [
          `${wholeText(studies.silent)} of ${counted(studies.all, 'study', 'studies')} ${studies.silent === 1 ? 'does not report it; what it' : 'do not report it; what they'} saw is unknown.`,
        ];
  if (arms.length === 0) return ['No study counts it, so nothing is known.', ...silent];
  return [
    designs(arms),
    ...spread(pools),
    ...silent,
    ...few(pools),
    ...dominated(pools),
    ...unseen(pools),
    ...methods(pools),
    ...assessors(arms),
    ...followUp(arms),
  ];
}

function designs(arms: readonly ArmEvents[]): string {
  const randomised = arms.filter(({ design }) => design === 'randomised trial').length;
  return randomised === 0
    ? 'No randomised trial counts it: the site was not allotted at random.'
    : `${wholeText(randomised)} of ${counted(arms.length, 'group')} of patients ${randomised === 1 ? 'comes' : 'come'} from randomised trials; the rest were not allotted at random.`;
}

/** The site where the next hospital is least predictable. */
function spread({ sites }: SitePools): readonly string[] {
  const base = baseForPools(sites.map(({ pool }) => pool));
  const widths = sites.flatMap(({ name, pool }) => {
    const prediction = pool.headline?.prediction;
    return prediction === undefined || pool.studies < 3
      ? []
      : [{ name, prediction, width: prediction.upper - prediction.lower }];
  });
  const widest = widths.sort((one, other) => other.width - one.width)[0];
  if (widest === undefined) return [];
  return [
    `Hospitals differ: the next one could see ${nextText(widest.prediction, base)} in ${wholeText(base)} (${widest.name.toLowerCase()}).`,
  ];
}

function few({ sites }: SitePools): readonly string[] {
  const names = sites
    .map(({ name, pool }) => ({ name, studies: countsBeside(pool).studies }))
    .filter(({ studies }) => studies > 0 && studies < 5)
    .map(({ name, studies }) => `${name.toLowerCase()} (${studies})`);
  return names.length === 0 ? [] : [`Fewer than five studies: ${names.join(', ')}.`];
}

function dominated({ sites }: SitePools): readonly string[] {
  const names = sites
    .filter(
      ({ pool }) => pool.studies > 1 && pool.cautions.some(({ code }) => code === 'one-study-dominates'),
    )
    .map(({ name, pool }) => {
      const heaviest = [...pool.twoStep.estimates].sort((one, other) => other.weight - one.weight)[0];
      return heaviest === undefined
        ? name.toLowerCase()
        : `${name.toLowerCase()} (${heaviest.label}, ${Math.round(100 * heaviest.weight)} % of the weight)`;
    });
  return names.length === 0 ? [] : [`Mostly one study: ${names.join(', ')}.`];
}

function unseen({ sites }: SitePools): readonly string[] {
  const empty = sites.filter(({ pool }) => pool.arms.length === 0).map(({ name }) => name.toLowerCase());
  const none = sites
    .filter(({ pool }) => pool.events === 0 && pool.shoulders > 0)
    .map(({ name, pool }) => {
      const upper = pool.headline?.interval.upper;
      if (upper === undefined) return name.toLowerCase();
      const base = baseForPools(sites.map((each) => each.pool));
      const people = peopleAmong(0, { lower: 0, upper }, base).upper ?? base;
      return `${name.toLowerCase()} (up to ${wholeText(people)} in ${wholeText(base)})`;
    });
  return [
    ...(empty.length === 0 ? [] : [`Counted by no study: ${empty.join(', ')}.`]),
    ...(none.length === 0 ? [] : [`Not seen is not never: ${none.join(', ')}.`]),
  ];
}

function methods({ sites }: SitePools): readonly string[] {
  const names = sites.filter(({ pool }) => methodsDiffer(pool)).map(({ name }) => name.toLowerCase());
  return names.length === 0 ? [] : [`The method of pooling moves the rate: ${names.join(', ')}.`];
}

function assessors(arms: readonly ArmEvents[]): readonly string[] {
  const kinds = [...new Set(arms.map(({ assessor }) => assessor))];
  return kinds.length < 2 ? [] : [`Who looked differs: ${kinds.join(', ')}.`];
}

function followUp(arms: readonly ArmEvents[]): readonly string[] {
  const months = arms.map(({ followUpMonths }) => followUpMonths).filter(isReported);
  const [low, high] = [Math.min(...months), Math.max(...months)];
  return months.length === 0
    ? ['No study says how long it looked.']
    : low === high
      ? []
      : [`Follow-up runs from ${low} to ${high} months.`];
}
