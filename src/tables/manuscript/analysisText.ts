import { meanIntervalMethods } from '../../pooling/meanIntervalMethods.ts';
import { scaleNames } from '../../pooling/methodsSentence.ts';
import { predictionIntervalMethods } from '../../pooling/predictionIntervalMethods.ts';
import { varianceEstimatorMethods } from '../../pooling/varianceEstimatorMethods.ts';
import { varianceIntervalMethods } from '../../pooling/varianceIntervalMethods.ts';
import { fewestStudiesForAsymmetry } from '../../robustness/smallStudies/smallStudyAnswer.ts';
import { measureName } from '../../wording/ratioText.ts';
import { capital, counted, listed } from '../../wording/words.ts';
import { effectivePool } from './effectivePool.ts';
import { emptyCellsText } from './emptyCellsText.ts';
import type { ManuscriptInput } from './manuscriptInput.ts';
import { writeQuoted, writeQuotedEffects } from './quotedMethodsText.ts';
import type { ReferenceId } from './references.ts';
import {
  estimatorReference,
  meanIntervalReference,
  predictionReference,
  references,
  varianceIntervalReference,
} from './references.ts';
import { levelPercent, typed } from './words.ts';
import type { Writer } from './writer.ts';

const studyIntervalWords = {
  wilson: ['Wilson', 'wilson-1927'],
  'clopper-pearson': ['Clopper-Pearson', 'clopper-1934'],
  jeffreys: ['Jeffreys', 'brown-2001'],
  'agresti-coull': ['Agresti-Coull', 'agresti-1998'],
} as const;

/** Methods, second part: risk of bias, effect measures, syntheses, reporting bias, certainty. */
export function writeAnalysis(write: Writer, input: ManuscriptInput): void {
  const { review, outcomes, scores = [] } = input;
  const { analysis } = review.protocol;
  writeRiskOfBias(write, input);

  write.heading('Methods', 'Effect measures');
  if (outcomes.length > 0) {
    write.say(
      '12',
      'For outcomes counted as events the measure at each site was the rate: shoulders with the event among those that could have had it, in per cent.',
      { results: outcomes.map((_, at) => `outcomes.${at}.pools`) },
    );
  }
  if (scores.length > 0) {
    write.say('12', 'For scores the measure at each site was the mean in points of the scale.', {
      results: scores.map((_, at) => `scores.${at}`),
    });
  }
  const paired = outcomes.findIndex(({ comparisons = [] }) =>
    comparisons.some(({ quoted }) => quoted?.relative !== undefined),
  );
  if (paired >= 0) {
    const told = outcomes[paired]?.comparisons?.find(({ quoted }) => quoted?.relative !== undefined);
    const measure = told?.quoted?.relative?.measure ?? analysis.comparisonMeasure ?? 'odds-ratio';
    write.say('12', `Two sites treated within one study were compared by the ${measureName(measure)}.`, {
      results: [`outcomes.${paired}.comparisons`],
    });
    writeQuotedEffects(write, input, paired);
  }

  write.heading('Methods', 'Synthesis methods');
  write.say(
    '13a',
    'For each outcome one result of each arm entered the synthesis: the one with the most preferred definition, then assessor, then time point; each site was pooled by itself from its own arms.',
    { protocol: ['outcomes'] },
  );
  write.newParagraph();
  write.say('13b', emptyCellsText(input), { protocol: ['analysis.zeroEvents'] });
  const [intervalName, intervalSource] = studyIntervalWords[analysis.studyInterval];
  write.say(
    '13c',
    `Rates of single arms were tabulated and drawn in forest plots with ${levelPercent(analysis.level)} ${intervalName} intervals ${write.cite(intervalSource)}, grouped by site.`,
    { protocol: ['analysis.studyInterval', 'analysis.level'] },
  );
  writeModel(write, input);
  if (
    outcomes.some(({ comparisons = [] }) =>
      comparisons.some(({ body }) => body === 'all comparative studies'),
    )
  )
    write.say(
      '13d',
      'Randomised trials and other studies of one comparison were pooled together, and each kind by itself.',
      { protocol: ['analysis.comparisonBody'] },
    );
  write.newParagraph();
  write.ask('13e', 'Causes of heterogeneity were explored by {0}.', [
    'subgroup analysis or meta-regression, with the features decided beforehand, or a statement that none was done',
  ]);
  writeSensitivity(write, input);

  write.heading('Methods', 'Reporting bias assessment');
  const tested = outcomes.findIndex(({ changes }) => changes !== undefined);
  if (tested >= 0) {
    write.say(
      '14',
      `For pools of at least ${fewestStudiesForAsymmetry} studies ${write.cite('sterne-2011')} small-study effects were examined by regression of the arcsine-transformed rate on the reciprocal of the number of shoulders, because a funnel of low rates against their standard error leans without any bias ${write.cite('hunter-2014')}.`,
      { results: [`outcomes.${tested}.changes`] },
    );
  }
  if (input.missing !== undefined) {
    write.say(
      '14',
      'For each eligible study we recorded whether each outcome was reported in a usable way, reported otherwise, mentioned without a number, or not reported.',
      { results: ['missing'] },
    );
  }
  if (input.missingJudgements?.some(({ overall }) => overall !== 'not judged') === true) {
    write.say(
      '14',
      `Risk of bias from missing results was judged for each synthesis by known missing results, studies likely to be missing, and the pattern of the results ${write.cite('page-2023')}.`,
      { results: ['missingJudgements'] },
    );
  }
  if (tested < 0 && input.missing === undefined) {
    write.ask('14', 'Bias from missing results was assessed by {0}.', ['method']);
  }

  write.heading('Methods', 'Certainty assessment');
  if (input.certainty === undefined || input.certainty.length === 0) {
    write.ask('15', 'Certainty of the evidence was assessed by {0}.', ['approach, and by how many people']);
  } else {
    const kinds = new Set(input.certainty.map(({ question }) => question.kind));
    const approach = write.cite('guyatt-2008');
    const starts = [
      ...(kinds.has('rate')
        ? [`bodies of evidence on the rate at one site started at high certainty ${write.cite('iorio-2015')}`]
        : []),
      ...(kinds.has('comparison')
        ? [
            `comparisons of sites started at high certainty for randomised trials and at low certainty for other designs${input.certainty.some(({ body }) => body.design === 'all comparative studies') ? ' and for trials pooled together with them' : ''}`,
          ]
        : []),
    ];
    write.say(
      '15',
      `Certainty of the evidence was rated by the GRADE approach ${approach}; ${listed(starts)}.`,
      { results: ['certainty'] },
    );
  }
}

function writeRiskOfBias(write: Writer, { review }: ManuscriptInput): void {
  write.heading('Methods', 'Study risk of bias assessment');
  const tools = [...new Set(review.judgements.map(({ tool }) => tool))];
  if (tools.length === 0) {
    write.ask('11', 'Risk of bias was judged with {0}.', [
      'instrument for each design, and by how many people',
    ]);
    return;
  }
  const gaps: string[] = [];
  const named = tools.map((tool) => {
    const studies = new Set(review.judgements.filter((row) => row.tool === tool).map(({ study }) => study))
      .size;
    const known: string | undefined = (references as Readonly<Record<string, string>>)[tool];
    if (known === undefined) gaps.push(`reference of the ${typed(tool)}`);
    const source = known === undefined ? ` {${gaps.length - 1}}` : ` ${write.cite(tool as ReferenceId)}`;
    return `${typed(tool)}${source} in ${counted(studies, 'report')}`;
  });
  write.ask(
    '11',
    `Risk of bias was judged with ${listed(named)}, {${gaps.length}}.`,
    [...gaps, 'by how many people, whether independently'],
    {
      rows: tools.flatMap((tool) => review.judgements.find((row) => row.tool === tool)?.row ?? []),
    },
  );
}

function writeModel(write: Writer, input: ManuscriptInput): void {
  const { review, outcomes } = input;
  const { analysis } = review.protocol;
  const { model, betweenStudyVariance, interval, prediction, rateScale, level } = analysis;
  // Works are numbered as they are cited: what is quoted comes first.
  const quoted = writeQuoted(write, input);
  const scaleSource = rateScale === 'double-arcsine' ? ` ${write.cite('freeman-1950')}` : '';
  const weighted =
    model === 'common-effect'
      ? 'by inverse-variance weighting under a common-effect model'
      : `by inverse-variance weighting under a random-effects model, with the between-study variance estimated by the ${varianceEstimatorMethods[betweenStudyVariance].name} ${write.cite(estimatorReference[betweenStudyVariance])}`;
  const predicted =
    quoted || model === 'common-effect'
      ? ''
      : ` and, from three arms on, ${levelPercent(level)} prediction intervals (PI) from ${predictionIntervalMethods[prediction].name.replace('k - ', 'k \u2212 ')} ${write.cite(predictionReference[prediction])}`;
  write.say(
    '13d',
    `${quoted ? 'Beside it, as the protocol names it, ' : ''}${quoted ? scaleNames[rateScale] : capital(scaleNames[rateScale])}${scaleSource} were pooled ${weighted}, with ${levelPercent(level)} ${meanIntervalMethods[interval].name} confidence intervals${quoted ? '' : ' (CI)'} ${write.cite(meanIntervalReference[interval])}${predicted}; results were turned back into rates.`,
    {
      protocol: [
        'analysis.rateScale',
        'analysis.model',
        'analysis.betweenStudyVariance',
        'analysis.interval',
        'analysis.prediction',
        'analysis.level',
      ],
    },
  );
  const varianceInterval = analysis.varianceInterval ?? 'q-profile';
  write.say(
    '13d',
    `Heterogeneity ${quoted ? 'of this pool ' : ''}was described by Cochran\u2019s Q ${write.cite('cochran-1954')}, by the between-study variance \u03c4\u00b2 with its ${levelPercent(level)} ${varianceIntervalMethods[varianceInterval].name} interval ${write.cite(varianceIntervalReference[varianceInterval])} and by I\u00b2 ${write.cite('higgins-2002')}.`,
    {
      protocol: analysis.varianceInterval === undefined ? ['analysis.level'] : ['analysis.varianceInterval'],
    },
  );
  if (outcomes.some(({ pools }) => pools.sites.some(({ pool }) => effectivePool(pool) === 'exact'))) {
    write.say(
      '13d',
      `Where no shoulder at a site, or every one, had the event, the arms were taken together and described by the exact Clopper-Pearson interval ${write.cite('clopper-1934')}.`,
      {
        results: outcomes.flatMap(({ pools }, at) =>
          pools.sites.flatMap(({ pool }, site) =>
            effectivePool(pool) === 'exact' ? [`outcomes.${at}.pools.sites.${site}.pool`] : [],
          ),
        ),
      },
    );
  }
  const { software } = input;
  if (software === undefined) write.ask('13d', 'Analyses were done with {0}.', ['software and version']);
  else {
    write.ask(
      '13d',
      `Analyses were done with ${typed(software.name)}, version ${typed(software.version)} {0}.`,
      ['where the software can be had'],
    );
  }
}

function writeSensitivity(write: Writer, { outcomes }: ManuscriptInput): void {
  const has = (test: (outcome: ManuscriptInput['outcomes'][number]) => boolean): readonly string[] =>
    outcomes.flatMap((outcome, at) => (test(outcome) ? [`outcomes.${at}`] : []));
  const pools = outcomes.flatMap(({ pools: { sites } }) => sites.map(({ pool }) => pool));
  const modelled = pools.some(({ quoted }) => quoted !== undefined && quoted.because !== 'fixed');
  if (outcomes.length > 0 && !modelled) {
    write.say(
      '13f',
      `As a check that needs no correction for empty cells, every pool was repeated with a one-step binomial-normal model with a logit link, fitted by maximum likelihood ${write.cite('stijnen-2010')}.`,
      { results: has(() => true).map((path) => `${path}.pools`) },
    );
  }
  const omitted = has(({ changes }) => changes !== undefined);
  if (omitted.length > 0) {
    write.say('13f', 'Each study was left out in turn.', {
      results: omitted.map((path) => `${path}.changes`),
    });
  }
  const rules = has(({ midGroove }) => midGroove !== undefined);
  if (rules.length > 0) {
    write.say(
      '13f',
      'The pools were repeated with fixation in the middle of the groove counted with the top of the groove, with suprapectoral fixation, and split between the two by half.',
      { results: rules.map((path) => `${path}.midGroove`) },
    );
  }
  if (omitted.length + rules.length === 0) {
    write.ask('13f', 'Further sensitivity analyses were {0}.', [
      'sensitivity analyses, or that there were none',
    ]);
  }
}
