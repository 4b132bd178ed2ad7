import { rowsOfArm } from '../../extraction/armEvents.ts';
import type { Interval } from '../../numerics/interval.ts';
import { countsOf } from '../../pooling/armsInNumber.ts';
import { scaleNames } from '../../pooling/methodsSentence.ts';
import type { SitePool } from '../../pooling/poolBySite.ts';
import type { PooledResult } from '../../pooling/pooledResult.ts';
import { derSimonianLairdBeside } from '../../pooling/quoteSites.ts';
import { markAnswer } from '../../wording/answerMark.ts';
import { pointsDigits } from '../../wording/numbers.ts';
import { counted, whole } from '../../wording/words.ts';
import { afterSite } from '../plainWords/siteWords.ts';
import { notInPoolText } from '../rateText.ts';
import { writeArmNotes } from './armNotesText.ts';
import { writeComparisons, writeModels } from './comparisonsText.ts';
import { effectivePool } from './effectivePool.ts';
import type { EventsResults, ManuscriptInput, ScoreResults } from './manuscriptInput.ts';
import { toldRate } from './quotedMethodsText.ts';
import {
  confidence,
  figure,
  percent,
  percentRange,
  predicted,
  pValue,
  quotedInterval,
  shareOf,
  small,
  typed,
} from './words.ts';
import type { Writer } from './writer.ts';

/** Results of each synthesis: what was in it, the rate at each site, heterogeneity, site against site. */
export function writeSyntheses(
  write: Writer,
  { review, outcomes, scores = [], certainty = [] }: ManuscriptInput,
): void {
  for (const [at, outcome] of outcomes.entries()) {
    write.heading('Results', `Results of syntheses: ${small(typed(outcome.selection.outcome.name))}`);
    writeContributors(write, outcome, `outcomes.${at}`);
    write.newParagraph();
    for (const [index, site] of outcome.pools.sites.entries()) {
      writeRate(write, site, outcome, `outcomes.${at}.pools.sites.${index}.pool`);
    }
    writeArmNotes(write, outcome, review, `outcomes.${at}.pools`);
    writeHeterogeneity(
      write,
      `${outcome.pools.sites.some(({ pool }) => pool.quoted !== undefined && pool.headline?.basis === 'one-step') ? 'of the two-step pool beside it, ' : ''}on the scale of analysis (${scaleNames[outcome.pools.sites[0]?.pool.options.scale ?? 'logit']})`,
      outcome.pools.sites.flatMap(({ site, pool }, index) =>
        effectivePool(pool) === 'pooled'
          ? [{ site, pool: pool.twoStep, path: `outcomes.${at}.pools.sites.${index}.pool.twoStep` }]
          : [],
      ),
    );
    if (outcome.pools.sites.filter(({ pool }) => pool.headline !== undefined).length > 1) {
      write.say('20b', 'These rates were pooled from single arms and do not compare the sites.', {
        results: [`outcomes.${at}.pools`],
      });
    }
    writeComparisons(write, outcome, `outcomes.${at}.comparisons`);
    writeModels(write, outcome, certainty, `outcomes.${at}`);
  }
  for (const [at, score] of scores.entries()) writeScore(write, score, `scores.${at}`);
}

function writeContributors(write: Writer, { selection }: EventsResults, path: string): void {
  const { arms, leftOut, outcome } = selection;
  const name = small(typed(outcome.name));
  const rows = arms.flatMap(rowsOfArm);
  if (arms.length === 0) {
    write.say('20a', `No arm reported ${name} in a way that could be used.`, {
      results: [`${path}.selection`],
    });
    return;
  }
  const studies = new Set(arms.map(({ study }) => study));
  const trials = new Set(
    arms.filter(({ design }) => design === 'randomised trial').map(({ study }) => study),
  );
  const shoulders = arms.reduce((sum, { total }) => sum + total, 0);
  write.say(
    '20a',
    `Usable counts of ${name} came from ${counted(arms.length, 'arm')} of ${counted(studies.size, 'study', 'studies')} with ${counted(shoulders, 'shoulder')}; randomised trials were ${shareOf(trials.size, studies.size)} of the studies.`,
    { rows, results: [`${path}.selection.arms`] },
  );
  if (leftOut.length > 0) {
    write.say(
      '20a',
      `Not used ${leftOut.length === 1 ? 'was' : 'were'} ${counted(leftOut.length, 'further count')}, each for a stated reason.`,
      // The rows stand there with their reasons; they are behind no number of the text.
      { results: [`${path}.selection.leftOut`] },
    );
  }
}

function writeRate(
  write: Writer,
  { site, pool, answer }: SitePool,
  { selection }: EventsResults,
  path: string,
): void {
  const name = small(typed(selection.outcome.name));
  const rows = pool.arms.flatMap(rowsOfArm);
  const sources = { rows, results: [path] };
  const place = afterSite[site];
  const named = pool.headline === undefined ? pool.arms : pool.armsInNumber;
  const { studies, shoulders, events } = countsOf(named);
  const outside = pool.headline === undefined ? '' : notInPoolText(pool);
  const basis = `${counted(studies, 'study', 'studies')}, ${named.length === studies ? '' : `${counted(named.length, 'arm')}, `}${whole(events)} of ${counted(shoulders, 'shoulder')}${outside === '' ? '' : `; ${outside}`}`;
  const says = effectivePool(pool);
  const { headline } = pool;
  if (says === 'no-arm') {
    write.say('20b', `No study reported ${name} ${place}.`, { results: [path] });
    return;
  }
  if (headline === undefined) {
    write.say('20b', `The rate of ${name} ${place} could not be pooled (${basis}).`, sources);
    return;
  }
  const { rate, interval: limits, prediction } = headline;
  const around = `${quotedInterval(limits.level, pool.quoted?.method)} ${percentRange(limits)}`;
  if (says === 'exact') {
    const none = rate === 0;
    write.say(
      '20b',
      `${none ? `No ${name} was recorded` : `Every shoulder had ${name}`} ${place} (${basis}; ${markAnswer(answer, `exact ${around}`)}); a rate ${none ? `up to ${percent(limits.upper)}` : `from ${percent(limits.lower)}`} was compatible with these data.`,
      sources,
    );
    return;
  }
  if (says === 'one-arm') {
    const alone = pool.arms.length === 1 ? 'One arm reported' : 'One arm had a finite value for';
    write.say(
      '20b',
      `${alone} ${name} ${place}: ${markAnswer(answer, `${percent(rate)} (${around}`)}; ${basis}).`,
      sources,
    );
    return;
  }
  const next =
    prediction === undefined
      ? 'no prediction interval could be given'
      : `${predicted(prediction.level)} ${percentRange(prediction)}`;
  write.say(
    '20b',
    `${toldRate(pool)} of ${name} ${place} was ${markAnswer(answer, `${percent(rate)} (${around}`)}; ${next}; ${basis}).`,
    sources,
  );
  const beside = derSimonianLairdBeside(pool);
  if (beside?.rate !== undefined && beside.interval !== undefined) {
    write.say(
      '20d',
      `By DerSimonian-Laird it was ${markAnswer(answer, `${percent(beside.rate)} (${confidence(beside.interval.level)} ${percentRange(beside.interval)})`)}${beside.toldDifferently ? ', so it depends on the method' : ''}.`,
      { rows, results: [`${path}.quoted.others`] },
    );
  }
}

/** How much the studies differed, at every place where at least two arms were pooled. */
function writeHeterogeneity(
  write: Writer,
  scale: string,
  pools: readonly { readonly site: SitePool['site']; readonly pool: PooledResult; readonly path: string }[],
): void {
  const known = pools.flatMap(({ site, pool, path }) => {
    const { heterogeneity } = pool;
    if (heterogeneity === undefined) return [];
    const { betweenStudyVarianceInterval: range, iSquared, q, degreesOfFreedom, pValue: p } = heterogeneity;
    const around =
      range === undefined
        ? ''
        : ` (${confidence(range.level)} ${figure(range.lower)} to ${figure(range.upper)})`;
    return [
      {
        text: `${afterSite[site]} \u03c4\u00b2 = ${figure(heterogeneity.betweenStudyVariance)}${around}, I\u00b2 = ${Math.round(100 * iSquared)}%, Q = ${figure(q)} with ${counted(degreesOfFreedom, 'degree')} of freedom (${pValue(p)})`,
        path: `${path}.heterogeneity`,
        rows: pool.estimates.flatMap(({ rows }) => rows),
      },
    ];
  });
  if (known.length === 0) return;
  write.say('20b', `Between-study variance ${scale} was, ${known.map(({ text }) => text).join('; ')}.`, {
    rows: known.flatMap(({ rows }) => rows),
    results: known.map(({ path }) => path),
  });
}

/** A normal model does not know that a scale ends: what runs beyond an end is held there, and said. */
function heldTo({ lower, upper }: Interval, range: ScoreResults['range']): string {
  const [low, high] = [Math.max(lower, range?.minimum ?? lower), Math.min(upper, range?.maximum ?? upper)];
  const held = low !== lower || high !== upper;
  return `${pointsDigits(low)} to ${pointsDigits(high)}${held ? ', held at the end of the scale' : ''}`;
}

function writeScore(write: Writer, { selection, scaleName, range, sites }: ScoreResults, path: string): void {
  const name = typed(selection.outcome.name);
  write.heading('Results', `Results of syntheses: ${small(name)}`);
  for (const [at, { site, pool, answer }] of sites.entries()) {
    const place = afterSite[site];
    const rows = pool.estimates.flatMap((estimate) => estimate.rows);
    const sources = { rows, results: [`${path}.sites.${at}.pool`] };
    const { mean, prediction, studies } = pool;
    if (mean === undefined) {
      write.say('20b', `No mean on the ${typed(scaleName)} could be given ${place}.`, sources);
      continue;
    }
    const next =
      prediction === undefined ? '' : `; ${predicted(prediction.level)} ${heldTo(prediction, range)}`;
    const one = pool.estimates.length === 1;
    write.say(
      '20b',
      `The ${one ? '' : 'pooled '}mean on the ${typed(scaleName)} ${place} was ${markAnswer(answer.asPlanned ? answer.id : undefined, `${pointsDigits(mean.value)} (${confidence(mean.interval.level)} ${pointsDigits(mean.interval.lower)} to ${pointsDigits(mean.interval.upper)}`)}${next}; ${counted(studies, 'study', 'studies')}, ${counted(pool.estimates.length, 'arm')}).`,
      sources,
    );
  }
  writeHeterogeneity(
    write,
    'in squared points',
    sites.map(({ site, pool }, at) => ({ site, pool, path: `${path}.sites.${at}.pool` })),
  );
  write.say('20b', 'These means were pooled from single arms and do not compare the sites.', {
    results: [path],
  });
}
