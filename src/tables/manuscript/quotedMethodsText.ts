import type { SitePair } from '../../comparison/pairs/comparePairs.ts';
import type { PooledRate } from '../../pooling/pooledRate.ts';
import type { QuotedRate } from '../../pooling/quoted/quotedRate.ts';
import { listed } from '../../wording/words.ts';
import type { ManuscriptInput } from './manuscriptInput.ts';
import { isPosterior, levelPercent } from './words.ts';
import type { Writer } from './writer.ts';

/** Which number is told of each outcome, of what, and by which rule; false where the protocol's own pool is told. */
export function writeQuoted(write: Writer, { outcomes, review }: ManuscriptInput): boolean {
  const told = outcomes.flatMap(({ pools }, at) =>
    pools.sites.flatMap(({ pool: { quoted } }, site) =>
      quoted === undefined || quoted.arms === 0 || quoted.because === 'fixed'
        ? []
        : [{ quoted, path: `outcomes.${at}.pools.sites.${site}.pool.quoted` }],
    ),
  );
  const by = (test: (quoted: QuotedRate) => boolean): readonly string[] =>
    told.flatMap(({ quoted, path }) => (test(quoted) ? [path] : []));
  const level = levelPercent(review.protocol.analysis.level);
  const means = by(({ method }) => method === 'beta-binomial-profile-calibrated');
  const centres = by(({ estimand }) => estimand === 'centre on the scale');
  const leaning = told.find(({ quoted }) => quoted.because === 'no-limit');
  const posteriors = told.filter(({ quoted }) => isPosterior(quoted.method));
  const predicted = told.find(({ quoted }) => quoted.predictionPriors !== undefined);
  if (means.length + centres.length + posteriors.length === 0) return false;
  write.say(
    '13d',
    'Which number is quoted for an outcome followed from its counts, by a rule whose borders were set beforehand by the coverage of each method in simulated reviews; all sites of an outcome are quoted by one method where more than one arm with events allows it.',
    { results: told.map(({ path }) => path) },
  );
  if (means.length > 0)
    write.say(
      '13d',
      `Where events or arms were few, we quote the mean over studies of their rates from a beta-binomial model, fitted to the counts by maximum likelihood ${write.cite('griffiths-1973')}, with ${level} profile-likelihood confidence intervals (CI) ${write.cite('venzon-1988')} whose cut-off allows for the number of studies.`,
      { results: means },
    );
  if (centres.length > 0)
    write.say(
      '13d',
      `Where every site had events enough, we quote the DerSimonian-Laird mean of arcsine-transformed rates ${write.cite('dersimonian-1986')} with ${level} truncated Hartung-Knapp confidence intervals ${write.cite('rover-2015')}, nothing added to any count.`,
      { results: centres },
    );
  const [posterior] = posteriors;
  if (posterior !== undefined)
    write.say(
      '13d',
      `At sites with two to four arms${leaning === undefined ? '' : ', or where the likelihood gave no interval'}, the mean over studies of their rates is quoted instead from the posterior of a binomial-normal model ${write.cite('stijnen-2010')} with ${level} credible intervals (CrI), which leans on its priors (${posterior.quoted.methodName.split(', ').slice(2).join(', ')}).`,
      { results: posteriors.map(({ path }) => path) },
    );
  if (predicted !== undefined)
    write.say(
      '13d',
      `${level} prediction intervals (PI), from three arms on, are those of a posterior with ${predicted.quoted.predictionPriors}.`,
      { results: [predicted.path] },
    );
  return true;
}

/** Which effect is quoted of studies that hold both sites, and what stands beside it. */
export function writeQuotedEffects(
  write: Writer,
  { outcomes, review }: ManuscriptInput,
  paired: number,
): void {
  const quoted = outcomes.flatMap(({ comparisons = [] }) =>
    comparisons.flatMap(({ behind }) => behind.pair?.quoted ?? []),
  );
  const told = quoted.filter(({ because, effect }) => because !== 'fixed' && effect !== undefined);
  const source = { results: [`outcomes.${paired}.comparisons`] };
  const level = levelPercent(review.protocol.analysis.level);
  const by = (part: string) =>
    told.find(({ method, estimand }) => estimand === 'median study' && method.includes(part));
  const [profile, posterior] = [by('-profile-'), by('-posterior-')];
  const modelOf = ({ method }: { readonly method: string }): string =>
    method.startsWith('hypergeometric')
      ? 'a hypergeometric-normal model'
      : 'a conditional binomial-normal model';
  if (profile !== undefined)
    write.say(
      '12',
      `Where events were few, the effect in the median study is quoted, from ${modelOf(profile)} ${write.cite('stijnen-2010')} with ${level} profile-likelihood confidence intervals ${write.cite('venzon-1988')}; the DerSimonian-Laird mean stands beside it.`,
      source,
    );
  if (posterior !== undefined)
    write.say(
      '12',
      `Where studies were few, the effect in the median study is quoted from the posterior of ${modelOf(posterior)} ${write.cite('stijnen-2010')} with ${level} credible intervals (CrI), which leans on its priors (${posterior.methodName.split(': ').slice(1).join(': ')}); the DerSimonian-Laird mean stands beside it.`,
      source,
    );
  const beside = told.flatMap(({ others }) => others.filter(({ effect }) => effect !== undefined));
  const has = (method: string): boolean => beside.some((each) => each.method.startsWith(method));
  const common = [
    ...(has('mantel-haenszel') ? [`Mantel-Haenszel without any addition ${write.cite('mantel-1959')}`] : []),
    ...(has('peto') ? [`Peto’s method ${write.cite('yusuf-1985')}`] : []),
    ...(has('conditional-maximum') ? ['conditional maximum likelihood'] : []),
  ];
  if (common.length > 0)
    write.say(
      '12',
      `As answers that hold if the studies share one effect, ${listed(common)} ${common.length === 1 ? 'was' : 'were'} computed beside them ${write.cite('handbook')}.`,
      source,
    );
}

/** DerSimonian-Laird and the common-effect answers beside a quoted effect. */
export function otherMethodsText(
  pair: SitePair | undefined,
  show: (value: number) => string,
): string | undefined {
  const { quoted } = pair ?? {};
  if (quoted === undefined || quoted.because === 'fixed') return undefined;
  const names: readonly (readonly [start: string, name: string])[] = [
    ['dersimonian-laird', 'DerSimonian-Laird'],
    ['mantel-haenszel', 'Mantel-Haenszel'],
    ['peto', 'Peto’s method'],
    ['conditional-maximum', 'conditional maximum likelihood'],
  ];
  const told = names.flatMap(([start, name]) => {
    const other = quoted.others.find(({ method }) => method.startsWith(start));
    if (other?.effect === undefined || other.interval === undefined || other.conditionsHold === false)
      return [];
    return [
      `${show(other.effect)} by ${name} (${show(other.interval.lower)} to ${show(other.interval.upper)})`,
    ];
  });
  return told.length === 0
    ? undefined
    : `By other methods the ${quoted.measure.replace('-', ' ')} was ${listed(told)}.`;
}

/** What the number of a pool is called in a sentence. */
export function toldRate({ quoted, headline }: PooledRate): string {
  return quoted?.estimand === 'mean of studies' && headline?.basis === 'one-step'
    ? 'The mean over studies of the rate'
    : 'The pooled rate';
}
