// %% [markdown]
// # When almost nothing happened
//
// **The question.** A series reports no revision in forty shoulders. What may be said, and what may not?
//
// **Why it is asked.** The commonest slide in this field is a row of noughts. A nought is a count, and a count of nought
// in a small series leaves room for rates a patient would care about.
//
// **What would change the answer.** More shoulders, traced longer. The number needed to rule out a rate is below.

// %% [markdown]
// ## What a series without an event rules out
//
// The exact interval of nought events, for series of the sizes this field has. The rule of three (Hanley and
// Lippman-Hand, JAMA 1983;249:1743-1745) says the one-sided limit is close to three over the number of shoulders.

// %%
import {
  answersOf,
  bulletList,
  counted,
  derSimonianLairdBeside,
  intervalRows,
  oneArmMethodNames,
  oneArmMethods,
  openNotebook,
  type PooledRate,
  percentDigits,
  percentLimits,
  poolOneArm,
  poolTwoArms,
  posteriorBinomialNormal,
  priorSensitivity,
  probabilityRateBelow,
  probabilityRateExceeds,
  quotedNotes,
  rateInterval,
  shouldersToRuleOut,
  type TwoArmMeasure,
  type TwoArmMethodName,
  table,
  twoArmMethodNames,
  twoArmMethods,
  usualDeviationPriors,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('revision');
const sizes = [10, 20, 40, 100, 300, 1000];
const { level } = review.protocol.analysis;
notebook.show(
  table({
    caption: 'No event in so many shoulders',
    columns: [
      { key: 'shoulders', heading: 'Shoulders', align: 'right' },
      { key: 'upper', heading: 'Rate still possible, per 100 (exact, two-sided)', align: 'right' },
      { key: 'three', heading: 'Three over the number, per 100', align: 'right' },
    ],
    rows: sizes.map((total) => ({
      shoulders: total,
      upper: percentDigits(rateInterval({ events: 0, total }, { method: 'clopper-pearson', level }).upper),
      three: percentDigits(3 / total),
    })),
  }),
);
const wanted = [0.01, 0.02, 0.05, 0.1];
notebook.reading`To say that a rate is below a limit, with one-sided certainty of 95 in 100 and without a single event,
  takes:

${bulletList(wanted.map((rate) => `${shouldersToRuleOut(rate)} shoulders for ${percentDigits(rate)} per 100`))}`;

// %% [markdown]
// ## Revision at each site by every method for rare events
//
// The number that is quoted stands first. Which one it is follows from the counts, by a rule whose borders were set by
// simulation: a method is quoted where its 95 % interval held the truth in 93 or more of 100 simulated reviews of that
// kind. DerSimonian-Laird, which must leave out an arm without an event or add to it, stands beside it with what it did.

// %%
const { selection, pools } = answersOf(review).counts('revision');
const perShoulder = oneArmMethodNames.filter((name) => !oneArmMethods[name].needsFollowUp);
const perYear = oneArmMethodNames.filter((name) => oneArmMethods[name].needsFollowUp);
const fits = pools.sites
  .filter(({ pool }) => pool.arms.length > 0)
  .map(({ site, name, pool }) => ({
    site,
    name,
    pool,
    fits: oneArmMethodNames.map((method) => poolOneArm(pool.arms, { method, level })),
  }));
notebook.record('revision by every one-arm method', fits, { supporting: true });
/** Arms of the two-step pool that something was added to, and what. */
const correctedIn = (pool: PooledRate) => {
  const arms = pool.twoStep.estimates.filter(({ addedToEachCell }) => addedToEachCell > 0);
  return { arms: arms.length, amount: arms[0]?.addedToEachCell ?? 0 };
};
/** What DerSimonian-Laird did with arms without an event: additions, arms left out, or the counts as they are. */
function derSimonianLairdWay(pool: PooledRate): string {
  const { arms, amount } = correctedIn(pool);
  const left = pool.twoStep.leftOut.length;
  if (pool.events === 0) return 'no arm with an event';
  if (arms > 0) return `${amount} added in ${counted(arms, 'arm')}`;
  return left > 0 ? `${counted(left, 'arm')} left out` : 'counts as they are';
}
if (fits.length === 0) {
  const reasons = [...new Set(selection.leftOut.map(({ reason }) => reason))];
  const rowsFor = (reason: string) => selection.leftOut.filter((row) => row.reason === reason);
  notebook.reading`**No row of events.csv can be used for this outcome at any of the sites**, so that the pictures and
    tables below stay empty. Rows left out, by reason:

${bulletList(reasons.map((reason) => `${reason} (${rowsFor(reason).length})`))}`;
}
notebook.draw(
  (frame) =>
    intervalRows(
      fits.map(({ name, pool, fits: answers }) => ({
        heading: `${name}: ${counted(pool.events, 'event')} in ${counted(pool.shoulders, 'shoulder')}`,
        rows: [
          {
            label: 'quoted',
            detail: pool.quoted?.estimand ?? 'pool as asked for',
            chosen: true,
            value: pool.headline?.rate,
            interval: pool.headline?.interval,
          },
          ...(pool.quoted?.method.startsWith('dersimonian-laird') === true
            ? []
            : [
                {
                  label: 'DerSimonian-Laird',
                  detail: derSimonianLairdWay(pool),
                  value: derSimonianLairdBeside(pool)?.rate,
                  interval: derSimonianLairdBeside(pool)?.interval,
                },
              ]),
          ...answers
            .filter(({ options }) => perShoulder.includes(options.method))
            .map(({ options, rate, interval, combinedExact, status }) => ({
              label: oneArmMethods[options.method].name,
              value: rate ?? (combinedExact ? 0 : undefined),
              interval: interval ?? combinedExact,
              ...(status === 'converged'
                ? {}
                : { detail: status === 'boundary' ? 'no spread found' : status.replaceAll('-', ' ') }),
            })),
        ],
      })),
      {
        ...frame,
        title: `${selection.outcome.name}: one count, several methods`,
        notes: ['Not a randomised comparison of the sites. Exact: all arms taken as one series.'],
      },
    ),
  {
    title: 'Revision by every method for rare events',
    name: 'methods',
    from: fits,
    beside: 'methods compared',
  },
);
const gap = (each: (typeof fits)[number]) => {
  const one = each.fits.find(({ options }) => options.method === 'binomial-normal-logit')?.rate;
  const two = each.pool.twoStep.natural?.value;
  return one === undefined || two === undefined ? undefined : { one, two };
};
/** Why two steps and one step part, as far as the counts tell. */
function whyApart({ pool }: (typeof fits)[number], { one, two }: { one: number; two: number }): string {
  if (Math.max(one, two) <= 1.2 * Math.min(one, two)) return 'Neither is more than a fifth above the other.';
  const { arms, amount } = correctedIn(pool);
  const left = pool.twoStep.leftOut.filter(({ count }) => count?.events === 0).length;
  if (two > one && arms > 0)
    return `${amount} was added to both cells of ${counted(arms, 'arm')}, which pulls the two-step rate up.`;
  if (two > one && left > 0)
    return `The two-step rate leaves out ${counted(left, 'arm')} without an event, which pulls it up.`;
  if (two < one && two < 0.5 && pool.options.scale === 'arcsine')
    return 'Turned back from arcsines, a mean of rates below one half lies under the mean of the rates themselves wherever they scatter, and with few events they scatter by chance alone.';
  return 'The two ways part; the counts alone do not say why.';
}
notebook.reading`**What is quoted, and why.** ${quotedNotes(pools.sites).join(' ')}

${bulletList(
  fits.flatMap(({ name, pool: { quoted } }) => (quoted === undefined ? [] : [`${name}: ${quoted.why}`])),
)}

**Two steps beside one.** The one step is here the median study of the binomial-normal model.

${bulletList(
  fits.map((each) => {
    const both = gap(each);
    if (both !== undefined)
      return `${each.name}: ${percentDigits(both.two)} per 100 in two steps, ${percentDigits(both.one)} in one step. ${whyApart(each, both)}`;
    const { headline, events, shoulders } = each.pool;
    if (headline?.basis === 'exact')
      return `${each.name}: ${events === 0 ? 'no event' : 'nothing but events'} in ${counted(shoulders, 'shoulder')}, so no model can be fitted and nothing is added; the exact interval, ${percentLimits(headline.interval)} per 100, is the answer.`;
    return headline === undefined
      ? `${each.name}: no rate can be quoted.`
      : `${each.name}: ${percentDigits(headline.rate)} per 100 is quoted; one of the two ways gives no rate to set beside the other.`;
  }),
)}`;

// %% [markdown]
// ## Per year of follow-up
//
// A revision takes time. A series followed for one year and one followed for ten do not report the same thing when both
// report one in a hundred.

// %%
notebook.show(
  table({
    caption: 'Revisions per 100 shoulder-years',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'years', heading: 'Shoulder-years', align: 'right' },
      ...perYear.map((name) => ({ key: name, heading: oneArmMethods[name].name, align: 'right' as const })),
      { key: 'left', heading: 'Arms without follow-up', align: 'right' },
    ],
    rows: fits.map(({ name, fits: answers }) => {
      const timed = answers.filter(({ options }) => perYear.includes(options.method));
      return {
        site: name,
        years: Math.round(timed[0]?.shoulderYears ?? 0),
        ...Object.fromEntries(
          timed.map(({ options, rate, interval, combinedExact }) => {
            const range = interval ?? combinedExact;
            return [
              options.method,
              rate === undefined && range === undefined
                ? 'no answer'
                : `${(rate ?? 0).toFixed(2)}${range ? ` (${range.lower.toFixed(2)} to ${range.upper.toFixed(2)})` : ''}`,
            ];
          }),
        ),
        left: timed[0]?.leftOut.length ?? 0,
      };
    }),
  }),
  { from: fits, beside: 'methods compared' },
);
notebook.reading`The rate per year takes every year as the same. Where revisions cluster early, a long follow-up dilutes it.`;

// %% [markdown]
// ## What a reader who starts with an opinion would believe
//
// A Bayesian answer needs a prior opinion on how much hospitals differ, and says what follows from it. Several priors,
// to see whether the opinion decides. Computed by quadrature, without random numbers.

// %%
const believed = fits.map(({ site, name, pool }) => {
  const posterior = posteriorBinomialNormal(pool.arms, { level });
  return { site, name, pool, posterior };
});
const computed = believed.flatMap(({ posterior, ...rest }) =>
  posterior.status === 'computed' ? [{ ...rest, posterior }] : [],
);
const [fewest] = [...fits].sort((a, b) => a.pool.events - b.pool.events);
const sensitivity = fewest && priorSensitivity(fewest.pool.arms, usualDeviationPriors, { level });
notebook.record('posteriors', { believed, sensitivity }, { supporting: true });
if (fewest !== undefined && sensitivity !== undefined)
  notebook.draw(
    (frame) =>
      intervalRows(
        [
          {
            heading: `${fewest.name}: ${counted(fewest.pool.events, 'event')} in ${counted(fewest.pool.shoulders, 'shoulder')}, by prior on the spread between hospitals`,
            rows: sensitivity.rows.map(({ name, answer, reason }) => ({
              label: name,
              ...(reason === undefined ? {} : { detail: reason }),
              value: answer?.rate?.median,
              interval: answer?.rate?.interval,
              prediction: answer?.nextRate?.interval,
            })),
          },
        ],
        {
          ...frame,
          title: `${selection.outcome.name}, ${fewest.name.toLowerCase()}: does the prior decide?`,
          notes: [
            'Posterior median with its interval; the bracket is the true rate to expect at the next hospital.',
          ],
        },
      ),
    {
      title: 'The answer under several priors',
      name: 'priors',
      from: fewest.pool,
      beside: 'methods compared',
    },
  );
const limit = selection.outcome.thresholdsPer100.materialDifference / 100;
notebook.show(
  table({
    caption: 'What follows from the usual weak prior',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'rate', heading: 'Rate per 100 (interval)', align: 'right' },
      { key: 'next', heading: 'Next hospital', align: 'right' },
      {
        key: 'below',
        heading: `Chance that the rate is below ${percentDigits(2 * limit)} per 100, %`,
        align: 'right',
      },
      { key: 'nextBelow', heading: 'The same at the next hospital, %', align: 'right' },
    ],
    rows: computed.map(({ name, posterior }) => {
      const below = probabilityRateBelow(posterior, 2 * limit);
      return {
        site: name,
        rate: `${percentDigits(posterior.rate.median)} (${percentLimits(posterior.rate.interval)})`,
        next: percentLimits(posterior.nextRate.interval),
        below: percentDigits(below.medianHospital),
        nextBelow: percentDigits(below.nextHospital),
      };
    }),
  }),
  { from: computed, beside: 'methods compared' },
);
const [first, second] = [...computed].sort((a, b) => b.posterior.rate.median - a.posterior.rate.median);
notebook.reading`${
  first && second
    ? `The chance that the rate after ${first.name.toLowerCase()} exceeds that after ${second.name.toLowerCase()} comes out as ${percentDigits(probabilityRateExceeds(first.posterior, second.posterior).medianHospital)} per cent. It compares two pools of different patients, estimated apart; it is not the chance that the operation is worse.`
    : 'Fewer than two sites have an answer.'
}`;

// %% [markdown]
// ## Two sites in one study
//
// Where studies have both sites, methods for sparse tables can compare them. Studies without an event in either arm are
// kept, and each method says what it did with them.

// %%
const armsOf = (site: string) => selection.arms.filter((arm) => arm.site === site);
const sitePairs = pools.sites.flatMap((one, index) =>
  pools.sites.slice(index + 1).map((other) => {
    const tables = armsOf(one.site).flatMap((treated) => {
      const comparator = armsOf(other.site).find(({ study }) => study === treated.study);
      return comparator === undefined
        ? []
        : [
            {
              study: treated.study,
              label: treated.label,
              treated,
              comparator,
              rows: [treated.row, comparator.row],
            },
          ];
    });
    return { one: one.name, other: other.name, tables };
  }),
);
const [fullest] = [...sitePairs].sort((a, b) => b.tables.length - a.tables.length);
if (fullest !== undefined && fullest.tables.length > 0) {
  const measure: TwoArmMeasure = 'odds-ratio';
  const able = twoArmMethodNames.filter((method: TwoArmMethodName) =>
    twoArmMethods[method].measures.includes(measure),
  );
  const answers = able.map((method) => poolTwoArms(fullest.tables, { method, measure, level }));
  notebook.record(`${fullest.one} against ${fullest.other}`, answers, { supporting: true });
  notebook.draw(
    (frame) =>
      intervalRows(
        [
          {
            heading: `${fullest.one} against ${fullest.other}: ${counted(fullest.tables.length, 'study', 'studies')}`,
            rows: answers.map(({ method, natural, reason }) => ({
              label: method,
              // Where there is a number, what bears on it stands under the picture.
              ...(reason === undefined || natural !== undefined ? {} : { detail: reason }),
              value: natural?.value,
              interval: natural?.interval,
            })),
          },
        ],
        {
          ...frame,
          title: `${selection.outcome.name}: odds ratio by every method for sparse tables`,
          values: 'ratio',
          axisTitle: `Odds ratio, below 1: fewer after ${fullest.one.toLowerCase()}`,
          reference: 1,
          referenceMeaning: 'no difference',
        },
      ),
    { title: 'Two sites within studies', name: 'pair', from: answers, beside: 'methods compared' },
  );
  const double = answers[0]?.doubleZero ?? [];
  notebook.reading`${double.length} of ${counted(fullest.tables.length, 'study', 'studies')} had no event in either arm.
    ${bulletList(answers.flatMap(({ method, doubleZero }) => (doubleZero[0] ? [`${method}: ${doubleZero[0].treatment}`] : [])))}

${bulletList(answers.flatMap(({ method, natural, reason }) => (natural === undefined || reason === undefined ? [] : [`${method}: ${reason}`])))}`;
}

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so.

// %%
notebook.claim(
  'The exact limit of a series without an event never lies below the rule of three by more than a quarter.',
  sizes.every(
    (total) =>
      rateInterval({ events: 0, total }, { method: 'clopper-pearson', level: 0.95 }).upper >
      (0.75 * 3) / total,
  ),
);
notebook.claim(
  'Every rate lies within its interval.',
  fits.every(({ fits: answers }) =>
    answers.every(
      ({ rate, interval }) =>
        rate === undefined || interval === undefined || (interval.lower <= rate && rate <= interval.upper),
    ),
  ),
);
notebook.claim(
  'The two-step pool beside a quoted rate adds to a cell only what the protocol says, and names every arm it leaves out.',
  fits.every(({ pool: { twoStep, arms } }) => {
    const { zeroEvents } = review.protocol.analysis;
    const allowed = zeroEvents === 'leave-out' ? [0] : [0, zeroEvents.addToEachCell];
    return (
      twoStep.estimates.every(({ addedToEachCell }) => allowed.includes(addedToEachCell)) &&
      twoStep.estimates.length + twoStep.leftOut.length >= arms.length
    );
  }),
);
notebook.claimForDemo(
  'For the rare outcome DerSimonian-Laird on arcsines lies below the one-step rate at every site.',
  () =>
    review.protocol.analysis.rateScale === 'arcsine' &&
    fits.every((each) => {
      const both = gap(each);
      return both === undefined || both.two <= both.one;
    }),
);
