import { markedSentence } from '../../answers/printAnswer.ts';
import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import { rowsOfArm } from '../../extraction/armEvents.ts';
import { siteNames } from '../../extraction/site.ts';
import { missingAnswers } from '../../robustness/missing/missingJudgement.ts';
import { counted, listed, signedFixed } from '../../wording/words.ts';
import { afterSite } from '../plainWords/siteWords.ts';
import { percentDigits } from '../rateText.ts';
import { extremeOmissions } from '../whatWouldChangeTable.ts';
import type { EventsResults, ManuscriptInput } from './manuscriptInput.ts';
import { confidence, percent, pValue, shareOf, small, typed } from './words.ts';
import type { Writer } from './writer.ts';

/** Results: exploration of heterogeneity, sensitivity, reporting biases, certainty. */
export function writeRobustness(write: Writer, input: ManuscriptInput): void {
  write.heading('Results', 'Causes of heterogeneity');
  write.ask('20c', 'Exploration of heterogeneity showed {0}.', [
    'result of each subgroup analysis or meta-regression, or a statement that none was done',
  ]);
  write.heading('Results', 'Sensitivity analyses');
  for (const [at, outcome] of input.outcomes.entries()) {
    if (at > 0) write.newParagraph();
    writeSensitivityOf(write, outcome, `outcomes.${at}`);
  }
  writeReportingBias(write, input);
  writeCertainty(write, input);
}

function writeSensitivityOf(write: Writer, outcome: EventsResults, path: string): void {
  const { selection, pools, changes = [], midGroove = [] } = outcome;
  const name = small(typed(selection.outcome.name));
  const runs = changes.flatMap((each, at) => {
    const site = pools.sites[at];
    const ends = each.changes === undefined ? undefined : extremeOmissions(each.changes);
    const rate = each.changes?.pool.headline?.rate;
    if (site === undefined || ends === undefined || rate === undefined) return [];
    const { lowest, highest } = ends;
    return [
      {
        text: `from ${percent(lowest.rate)} (without ${typed(lowest.label)}) to ${percent(highest.rate)} (without ${typed(highest.label)}) ${afterSite[site.site]} (${percent(rate)} with all)`,
        rows: site.pool.arms.flatMap(rowsOfArm),
        path: `${path}.changes.${at}.changes.omitted`,
      },
    ];
  });
  if (runs.length > 0) {
    write.say(
      '20d',
      `With each study left out in turn, the rate of ${name} ran ${listed(runs.map(({ text }) => text))}.`,
      { rows: runs.flatMap((run) => run.rows), results: runs.map((run) => run.path) },
    );
  }
  if (midGroove.length < 2) return;
  const moved = pools.sites.flatMap(({ site }, at) => {
    const rates = midGroove.flatMap(({ pools: other }) => other.sites[at]?.pool.headline?.rate ?? []);
    const texts = new Set(rates.map(percentDigits));
    if (rates.length < 2 || texts.size < 2) return [];
    return [{ site, low: Math.min(...rates), high: Math.max(...rates) }];
  });
  const rows = midGroove.flatMap(({ pools: other }) =>
    other.sites.flatMap(({ site, pool }) =>
      moved.some((each) => each.site === site) ? pool.arms.flatMap(rowsOfArm) : [],
    ),
  );
  write.say(
    '20d',
    moved.length === 0
      ? `Under the three ways to count fixation in the middle of the groove the pooled rates of ${name} were the same in the digits printed.`
      : `Under the three ways to count fixation in the middle of the groove the rate of ${name} ran ${listed(moved.map(({ site, low, high }) => `from ${percent(low)} to ${percent(high)} ${afterSite[site]}`))}.`,
    { rows, results: [`${path}.midGroove`] },
  );
}

function writeReportingBias(
  write: Writer,
  { outcomes, missing, missingJudgements = [] }: ManuscriptInput,
): void {
  write.heading('Results', 'Reporting biases');
  for (const [at, { selection, pools, changes }] of outcomes.entries()) {
    if (changes === undefined) continue;
    if (at > 0) write.newParagraph();
    const name = small(typed(selection.outcome.name));
    const untested: string[] = [];
    const tested = changes.flatMap((each, index) => {
      const site = pools.sites[index];
      if (site === undefined || site.pool.studies === 0) return [];
      const test = each.changes?.sizeTest;
      if (test?.kind !== 'regression-test' || test.pValue === undefined) {
        untested.push(`${small(siteNames[site.site])} (${counted(site.pool.studies, 'study', 'studies')})`);
        return [];
      }
      const { slope } = test.line;
      const numbers = `slope ${signed(slope.value)}, ${confidence(slope.interval.level)} ${signed(slope.interval.lower)} to ${signed(slope.interval.upper)}, ${pValue(test.pValue)}`;
      return [
        {
          text: `${afterSite[site.site]} (${counted(test.studies, 'study', 'studies')}: ${numbers})`,
          lean: slope.interval.lower > 0 ? 'higher' : slope.interval.upper < 0 ? 'lower' : undefined,
          rows: site.pool.arms.flatMap(rowsOfArm),
          path: `outcomes.${at}.changes.${index}.changes.sizeTest`,
        },
      ];
    });
    for (const lean of ['lower', 'higher'] as const) {
      const found = tested.filter((each) => each.lean === lean);
      if (found.length === 0) continue;
      write.say(
        '21',
        `Smaller arms had ${lean} rates of ${name} ${listed(found.map(({ text }) => text))}; missing studies are one of several possible causes.`,
        { rows: found.flatMap(({ rows }) => rows), results: found.map(({ path }) => path) },
      );
    }
    const open = tested.filter((each) => each.lean === undefined);
    if (open.length > 0) {
      write.say(
        '21',
        `Both lower and higher rates of ${name} in smaller arms were compatible with the data ${listed(open.map(({ text }) => text))}.`,
        { rows: open.flatMap(({ rows }) => rows), results: open.map(({ path }) => path) },
      );
    }
    if (untested.length > 0) {
      write.say(
        '21',
        `Small-study effects on ${name} could not be tested, with fewer than ten studies or without a pooled rate, for ${listed(untested)}.`,
        { results: [`outcomes.${at}.changes`] },
      );
    }
  }
  write.newParagraph();
  if (missing !== undefined && missing.studies.length > 0) {
    const texts = missing.outcomes.map(
      ({ name, studies }) => `${small(typed(name))} ${shareOf(studies.used, missing.studies.length)}`,
    );
    write.say(
      '21',
      `Eligible reports with a result in the synthesis: ${listed(texts)}; what the others found is not known.`,
      { results: ['missing.outcomes'] },
    );
  }
  writeMissingJudgements(write, missingJudgements, missing);
}

/** What reviewers judged of each synthesis; what nobody judged is asked for, never called low. */
function writeMissingJudgements(
  write: Writer,
  judgements: NonNullable<ManuscriptInput['missingJudgements']>,
  missing: ManuscriptInput['missing'],
): void {
  const judged = judgements.filter(({ overall }) => overall !== 'not judged');
  if (judged.length > 0) {
    const groups = missingAnswers.flatMap((answer) => {
      const own = judged.filter(({ overall }) => overall === answer);
      return own.length === 0 ? [] : [`${answer} for ${listed(own.map(({ name }) => small(typed(name))))}`];
    });
    write.say('21', `The risk of bias from missing results was judged ${listed(groups)}.`, {
      results: ['missingJudgements'],
    });
  }
  const silent = judgements.filter(({ overall }) => overall === 'not judged');
  if (judged.length > 0 && silent.length === 0) return;
  const named = silent.map(({ name }) => small(typed(name)));
  write.ask(
    '21',
    named.length === 0 || judged.length === 0
      ? 'The risk of bias from missing results was judged to be {0}.'
      : `For ${listed(named)} it was judged to be {0}.`,
    ['judgement for each synthesis, with the reason'],
    missing === undefined ? {} : { results: ['missing'] },
  );
}

const signed = (value: number): string => signedFixed(value, 2);

function writeCertainty(write: Writer, { certainty = [], outcomes }: ManuscriptInput): void {
  write.heading('Results', 'Certainty of evidence');
  if (certainty.length === 0) {
    write.ask('22', 'Certainty of the evidence was {0}.', ['rating for each outcome, with the reasons']);
    return;
  }
  const uncertain = new Map<string, { pairs: string[]; at: number[] }>();
  for (const [at, rating] of certainty.entries()) {
    const { question, level } = rating;
    if (question.outcome !== certainty[at - 1]?.question.outcome) write.newParagraph();
    if (question.kind === 'comparison' && level === 'very low') {
      const group = uncertain.get(question.outcome) ?? { pairs: [], at: [] };
      group.pairs.push(`${small(siteNames[question.site])} against ${small(siteNames[question.comparator])}`);
      group.at.push(at);
      uncertain.set(question.outcome, group);
      continue;
    }
    const reasons = level === undefined ? '' : ` (certainty ${level}${reasonsOf(rating)})`;
    write.say('22', `${markedSentence(rating).replace(/\.$/, '')}${reasons}.`, {
      rows: rating.rows,
      results: [`certainty.${at}`],
    });
  }
  write.newParagraph();
  for (const [id, { pairs, at }] of uncertain) {
    const named = outcomes.find(({ selection }) => selection.outcome.id === id)?.selection.outcome.name ?? id;
    write.say(
      '22',
      `The evidence was very uncertain about ${small(typed(named))} for ${listed(pairs)} (certainty very low).`,
      {
        rows: at.flatMap((each) => certainty[each]?.rows ?? []),
        results: at.map((each) => `certainty.${each}`),
      },
    );
  }
  const proposed = certainty.filter(({ confirmed }) => !confirmed).length;
  if (proposed > 0) {
    write.ask(
      '22',
      `${proposed === 1 ? 'One of these ratings follows' : `Of these ratings ${proposed} follow`} from the data by rule and ${proposed === 1 ? 'awaits' : 'await'} {0}.`,
      ['confirmation by the reviewers, each rating with a reason'],
      { results: ['certainty'] },
    );
  }
}

function reasonsOf({ domains }: CertaintyRating): string {
  const down = domains.filter(({ levels }) => levels < 0).map(({ domain }) => domain);
  const up = domains.filter(({ levels }) => levels > 0).map(({ domain }) => domain);
  return [
    ...(down.length > 0 ? [`; rated down for ${listed(down)}`] : []),
    ...(up.length > 0 ? [`; rated up for ${listed(up)}`] : []),
  ].join('');
}
