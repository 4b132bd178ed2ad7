// %% [markdown]
// # Pain and function by fixation site
//
// **The question.** After the long head of the biceps is fixed at one of three sites or only released: how much pain is
// left, and how well does the shoulder work?
//
// **Why it is asked.** Scores are what most papers report best, and what their readers compare most freely. They are
// also measured on several scales, printed as means, medians, intervals or standard errors, and crowd against the good
// end of the scale.
//
// **What would change the answer.** A difference between sites larger than patients notice, in studies that compare the
// sites; a difference smaller than that, however sure, would change nothing for a patient.

// %% [markdown]
// ## What each paper printed, put on one scale
//
// A pain line of 0 to 10 and one of 0 to 100 are one scale; a modified score and the original are not. Medians and
// standard errors are turned into means and standard deviations by published formulas, and each conversion is listed.

// %%
import {
  type Answer,
  agreeing,
  answersOf,
  bodyInWords,
  bulletList,
  clinicalThresholds,
  counted,
  forestPlot,
  type Interval,
  intervalRows,
  leftOutTable,
  openNotebook,
  printLimits,
  printValue,
  probabilityDifferenceExceeds,
  pText,
  siteNames,
  table,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
const outcomes = review.protocol.outcomes.filter((outcome) => outcome.kind === 'score');
if (outcomes.length === 0) notebook.skip('the protocol has no score among its outcomes');
const answers = answersOf(review);

// On every scale that arms were measured on, the protocol's first scale first: arms on two scales are two answers.
const questions = outcomes.map((outcome) => {
  const selection = answers.scores(outcome.id);
  const asked = answers.questions.filter(
    (question) =>
      (question.kind === 'mean' || question.kind === 'mean difference') && question.outcome === outcome.id,
  );
  const scales = [...new Set(asked.flatMap((question) => ('scale' in question ? [question.scale] : [])))];
  return {
    outcome,
    selection,
    scales: scales.flatMap((scale) => {
      const first = selection.arms.find((arm) => arm.scale === scale);
      const on = (kind: Answer['question']['kind']) =>
        asked
          .filter((question) => question.kind === kind && 'scale' in question && question.scale === scale)
          .map((question) => answers.to(question));
      return first ? [{ scale, first, means: on('mean'), differences: on('mean difference') }] : [];
    }),
  };
});
for (const { outcome, selection } of questions) {
  notebook.record(`selection: ${outcome.id}`, selection);
  const conversions = new Map<string, number>();
  for (const arm of selection.arms) {
    for (const { method } of arm.conversions) {
      // One line a method, whatever each arm's degrees of freedom.
      const what = method.replace(/ with \d+ degrees of freedom/, '');
      conversions.set(what, (conversions.get(what) ?? 0) + 1);
    }
  }
  notebook.show(
    table({
      caption: `${outcome.name}: how ${counted(selection.arms.length, 'arm')} ${agreeing(selection.arms.length, 'was', 'were')} read`,
      columns: [
        { key: 'what', heading: 'Conversion' },
        { key: 'arms', heading: 'Arms', align: 'right' },
      ],
      rows: [
        {
          what: 'mean and standard deviation as printed',
          arms: selection.arms.filter(({ conversions: made }) => made.length === 0).length,
        },
        ...[...conversions].sort((a, b) => b[1] - a[1]).map(([what, arms]) => ({ what, arms })),
      ],
    }),
    { from: selection },
  );
}
const doubtful = questions.flatMap(({ selection }) =>
  selection.arms.filter(({ cautions }) => cautions.some(({ code }) => code.endsWith('the-end-of-the-scale'))),
).length;
notebook.reading`${bulletList(
  questions.map(
    ({ outcome, selection, scales }) =>
      `${outcome.name}: ${counted(selection.arms.length, 'arm')} can be read, ${counted(selection.leftOut.length, 'row')} could not be used${scales.length > 0 ? `; scales, the protocol's first one first: ${scales.map(({ first, scale }) => `${first.scaleName} (${counted(selection.arms.filter((arm) => arm.scale === scale).length, 'arm')})`).join(', ')}` : ''}.`,
  ),
)}

${
  doubtful === 0
    ? 'No arm has a mean so near the end of its scale that its scores could not be evenly spread around it.'
    : `${counted(doubtful, 'arm')} ${agreeing(doubtful, 'has', 'have')} a mean so near the end of the scale that the scores cannot be evenly spread around it: the standard deviation there, and every conversion from a median, is to be read with doubt.`
}`;

// %% [markdown]
// ## The mean at each site
//
// Single arms side by side, which is not a comparison: each site is pooled from its own arms, whoever was in them. Each
// scale has its own answers, in the protocol's order of scales; arms on another scale are not in the number.

// %%
// A normal model does not know that a scale ends; a prediction beyond its end is held there.
const onScale = (
  range: Pick<Interval, 'lower' | 'upper'> | undefined,
  scale: { minimum: number; maximum: number } | undefined,
) =>
  range && scale
    ? { lower: Math.max(range.lower, scale.minimum), upper: Math.min(range.upper, scale.maximum) }
    : range;
const cell = (answer: Answer): string =>
  answer.quoted ? `${printValue(answer)} (${printLimits(answer)})` : 'no answer';
for (const { outcome, scales } of questions) {
  for (const { scale, first, means } of scales) {
    notebook.record(`means by site: ${outcome.id}, ${scale}`, { scale, means });
    const title = `${outcome.name}: mean ${first.scaleName}`;
    notebook.draw(
      (frame) =>
        intervalRows(
          [
            {
              heading: `${first.range ? `${first.range.minimum} to ${first.range.maximum}` : 'points'}, ${first.better} is better`,
              rows: means.map(({ id, question, quoted, behind }) => {
                const next = onScale(quoted?.prediction, first.range);
                return {
                  label: siteNames[question.site],
                  detail: behind.means?.studies
                    ? `${behind.means.estimates.length} ${behind.means.estimates.length === 1 ? 'arm' : 'arms'}`
                    : 'no arm',
                  value: quoted?.value,
                  interval: quoted,
                  prediction: next && quoted && { ...next, level: quoted.level },
                  answer: id,
                };
              }),
            },
          ],
          {
            ...frame,
            title,
            values: 'points',
            axisTitle: 'Points',
            notes: [
              'Single arms side by side: not a randomised comparison. Predictions are held at the ends of the scale.',
            ],
          },
        ),
      { title, name: `means-${outcome.id}-${scale}`, from: means },
    );
    notebook.show(
      table({
        caption: `${title}, by site`,
        columns: [
          { key: 'site', heading: 'Site' },
          { key: 'mean', heading: 'Mean (interval)', align: 'right' },
          { key: 'next', heading: 'Next study', align: 'right' },
          { key: 'studies', heading: 'Studies', align: 'right' },
          { key: 'shoulders', heading: 'Shoulders', align: 'right' },
          { key: 'outside', heading: 'Arms not in it', align: 'right' },
          { key: 'share', heading: 'Variation beyond chance, %', align: 'right' },
        ],
        rows: means.map((answer) => {
          const next = onScale(answer.quoted?.prediction, first.range);
          const heterogeneity = answer.behind.means?.heterogeneity;
          return {
            site: siteNames[answer.question.site],
            mean: cell(answer),
            next: next ? printLimits(answer, next) : 'no answer',
            studies: answer.studies,
            shoulders: answer.shoulders,
            outside: answer.notInNumber.length,
            share: heterogeneity ? Math.round(100 * heterogeneity.iSquared) : 'no answer',
          };
        }),
        answers: means.map(({ id, quoted }) => quoted && id),
        notes: [
          ...new Set(
            means.flatMap(({ notInNumber }) => notInNumber.map(({ reason }) => reason.replace(/\.$/, ''))),
          ),
        ].map((reason) => `Not in the number: ${reason}.`),
      }),
      { from: means },
    );
  }
}
notebook.reading`${bulletList(
  questions.flatMap(({ outcome, scales }) => {
    const [told] = scales;
    const known = (told?.means ?? []).filter(({ quoted }) => quoted !== undefined);
    const sorted = [...known].sort((a, b) => a.quoted!.value - b.quoted!.value);
    const [lowest, highest] = [sorted[0], sorted.at(-1)];
    return lowest && highest && told
      ? [
          `${outcome.name}, ${told.first.scaleName}: pooled means run from ${printValue(lowest)} (${siteNames[lowest.question.site]}) to ${printValue(highest)} (${siteNames[highest.question.site]}). Who was operated on, and when they were asked, differs between sites.`,
        ]
      : [`${outcome.name}: no site can be pooled.`];
  }),
)}`;

// %% [markdown]
// ## Within studies that have two sites
//
// The only fair comparison here: two sites in the same study. Mean differences keep the scale's own points. Randomised
// trials answer where any gives a difference, other studies where none does; the two are never mixed.

// %%
const pairs = questions.flatMap(({ outcome, scales }) =>
  scales.flatMap(({ scale, first, differences }) =>
    differences
      .filter(({ quoted }) => quoted !== undefined)
      .map((answer) => ({ outcome, scale, first, answer, pool: answer.behind.means! })),
  ),
);
if (pairs.length > 0)
  notebook.record(
    'pairs',
    pairs.map(({ answer }) => answer),
  );
const sidesOf = ({ question }: Answer) =>
  'comparator' in question
    ? ([siteNames[question.site], siteNames[question.comparator]] as const)
    : undefined;
const [fullest] = [...pairs].sort((a, b) => b.answer.studies - a.answer.studies);
const sides = fullest && sidesOf(fullest.answer);
if (fullest && sides) {
  const [one, other] = sides;
  const title = `${fullest.outcome.name}, ${fullest.first.scaleName}: ${one} against ${other}`;
  notebook.draw(
    (frame) =>
      forestPlot(fullest.pool, {
        ...frame,
        title,
        words: { lower: `lower after ${one.toLowerCase()}`, higher: `higher after ${one.toLowerCase()}` },
        answer: fullest.answer.id,
      }),
    { title, name: 'pair', from: fullest.pool },
  );
}
// Published changes that patients notice, where the registry has one seen on a page for this scale.
const noticed = (scale: string) =>
  clinicalThresholds.filter(
    (threshold) => threshold.scale === scale && threshold.kind === 'minimal-important-change',
  );
const chance = (probability: number | undefined) =>
  probability === undefined
    ? 'no answer'
    : probability < 0.001
      ? 'below 0.1'
      : probability > 0.999
        ? 'above 99.9'
        : (100 * probability).toFixed(1);
const studiesOf = (from: Pick<Answer, 'body' | 'studies' | 'trials'>): string =>
  bodyInWords({ design: from.body, studies: from.studies, trials: from.trials });
const pairText = (answer: Answer): string => (sidesOf(answer) ?? []).join(' − ');
notebook.show(
  table({
    caption: 'Mean differences within studies, first site minus second',
    columns: [
      { key: 'outcome', heading: 'Outcome' },
      { key: 'scale', heading: 'Scale' },
      { key: 'pair', heading: 'Pair' },
      { key: 'difference', heading: 'Difference (interval)', align: 'right' },
      { key: 'p', heading: 'p', align: 'right' },
      { key: 'studies', heading: 'Studies' },
      { key: 'first', heading: 'Chance the first is noticeably better, %', align: 'right' },
      { key: 'second', heading: 'The second, %', align: 'right' },
      { key: 'change', heading: 'Change that is noticed' },
    ],
    rows: pairs.map(({ outcome, scale, first, answer, pool }) => {
      const [threshold] = noticed(scale);
      const [treated = '', comparator = ''] = sidesOf(answer) ?? [];
      const chances =
        threshold &&
        probabilityDifferenceExceeds(pool, threshold, {
          ...(first.range ? { range: first.range } : {}),
          better: first.better,
          treated,
          comparator,
        });
      return {
        outcome: outcome.name,
        scale: first.scaleName,
        pair: pairText(answer),
        difference: cell(answer),
        p: pText(pool.mean?.pValue) ?? 'no answer',
        studies: studiesOf(answer),
        first: chance(chances?.treatedBetter),
        second: chance(chances?.comparatorBetter),
        change:
          threshold === undefined
            ? 'none published for this scale'
            : `${threshold.value} points on ${threshold.range.minimum} to ${threshold.range.maximum}: ${threshold.population}, ${threshold.source}`,
      };
    }),
    answers: pairs.map(({ answer }) => answer.id),
    notes: [
      'A change that one person notices is a threshold for change within a person; using it as a line between two groups is a convention, and labelled so.',
    ],
  }),
  { from: pairs.map(({ answer }) => answer) },
);
const apart = pairs.flatMap(({ outcome, first, answer }) =>
  answer.otherBodies.flatMap((other) => (other.quoted ? [{ outcome, first, answer, other }] : [])),
);
if (apart.length > 0)
  notebook.show(
    table({
      caption: 'Differences of the studies that do not answer, kept apart',
      columns: [
        { key: 'outcome', heading: 'Outcome' },
        { key: 'scale', heading: 'Scale' },
        { key: 'pair', heading: 'Pair' },
        { key: 'difference', heading: 'Difference (interval)', align: 'right' },
        { key: 'studies', heading: 'Studies' },
      ],
      rows: apart.map(({ outcome, first, answer, other }) => ({
        outcome: outcome.name,
        scale: first.scaleName,
        pair: pairText(answer),
        difference: `${printValue({ ...answer, quoted: other.quoted })} (${printLimits(answer, other.quoted)})`,
        studies: studiesOf(other),
      })),
    }),
    { from: apart.map(({ answer }) => answer), beside: 'sources compared' },
  );
const decided = pairs.filter(({ answer: { quoted } }) => quoted && (quoted.lower > 0 || quoted.upper < 0));
notebook.reading`${pairs.length} differences between two sites come from at least one study that holds both. In
  ${decided.length} of them the interval excludes no difference. A difference that is sure can still be too small to
  notice: the chances ask that question of the pooled difference, not of a single patient.`;

// %% [markdown]
// ## What was left out
//
// Rows that could not be used, each with its reason.

// %%
for (const { outcome, selection } of questions) {
  notebook.show(
    leftOutTable(
      selection.leftOut.map((left) => ({
        study: left.study,
        label: left.label,
        arm: left.arm ?? '',
        outcome: outcome.id,
        reason: left.reason,
        row: left.rows[0]!,
      })),
      { caption: `Not used for ${outcome.name.toLowerCase()}` },
    ),
  );
}
notebook.reading`A score that is not reported is missing; it is never taken as nought.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so.

// %%
const everyMean = questions.flatMap(({ scales }) =>
  scales.flatMap(({ scale, first, means }) => means.map((answer) => ({ scale, first, answer }))),
);
notebook.claim(
  'Every pooled mean lies within the range of its scale.',
  everyMean.every(
    ({ first: { range }, answer: { quoted } }) =>
      !quoted || !range || (quoted.value >= range.minimum && quoted.value <= range.maximum),
  ),
);
notebook.claim(
  'No number mixes two scales.',
  questions.every(({ selection, scales }) =>
    scales.every(({ scale, means }) =>
      means.every(({ behind }) =>
        (behind.means?.estimates ?? []).every(({ study, arm }) =>
          selection.arms.some((each) => each.study === study && each.arm === arm && each.scale === scale),
        ),
      ),
    ),
  ),
);
