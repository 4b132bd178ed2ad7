import { judgedSum } from '../../certainty/quality/sumInWords.ts';
import { classifySite } from '../../extraction/classifySite.ts';
import { isReported } from '../../extraction/reported.ts';
import type { FlowStage } from '../../extraction/sheets/flowSheet.ts';
import { pooledSites, siteNames } from '../../extraction/site.ts';
import { agreeing, counted, listed, whole } from '../../wording/words.ts';
import type { ManuscriptInput } from './manuscriptInput.ts';
import { shareOf, small, typed } from './words.ts';
import type { Writer } from './writer.ts';

/** Results, first part: selection, characteristics, risk of bias, where single results stand. */
export function writeSelection(write: Writer, input: ManuscriptInput): void {
  write.heading('Results', 'Study selection');
  writeFlow(write, input);
  write.ask('16b', 'Reports that might seem to fit and were excluded were {0}.', [
    'citation of each such report with the reason',
  ]);
  writeCharacteristics(write, input);
  writeJudgements(write, input);
  write.heading('Results', 'Results of individual studies');
  const arms = input.outcomes.reduce((sum, { selection }) => sum + selection.arms.length, 0);
  if (arms > 0) {
    write.ask(
      '19',
      `The ${counted(arms, 'count')} used, over ${counted(input.outcomes.length, 'outcome')}, are given arm by arm with their intervals in {0}.`,
      ['number of the figure or table'],
      { results: input.outcomes.map((_, at) => `outcomes.${at}.selection`) },
    );
  }
}

function writeFlow(write: Writer, { flow }: ManuscriptInput): void {
  const { counts } = flow;
  const rowsOf = (...stages: readonly FlowStage[]) =>
    stages.flatMap((stage) => counts[stage].parts.map(({ row }) => row));
  const reasons = (stage: FlowStage): string => {
    const named = counts[stage].parts.flatMap(({ detail, count }) =>
      isReported(detail) ? [`${typed(detail)} (n = ${whole(count)})`] : [],
    );
    return named.length === 0 ? '' : `: ${listed(named)}`;
  };
  /** A sentence of several counts: gaps are asked for, never filled with zero. */
  const tell = (stages: readonly FlowStage[], text: (values: readonly string[]) => string): void => {
    const gaps: string[] = [];
    const values = stages.map((stage) => {
      const { total } = counts[stage];
      if (isReported(total)) return whole(total);
      gaps.push(`number of ${stage}`);
      return `{${gaps.length - 1}}`;
    });
    const sources = { rows: rowsOf(...stages), results: stages.map((stage) => `flow.counts.${stage}`) };
    if (gaps.length === 0) write.say('16a', text(values), sources);
    else write.ask('16a', text(values), gaps, sources);
  };
  tell(
    ['records identified', 'records removed before screening', 'records screened'],
    ([identified, removed, screened]) =>
      `The searches identified ${identified} records; ${removed} were removed before screening${reasons('records removed before screening')}, and ${screened} were screened.`,
  );
  tell(
    ['records excluded', 'reports sought', 'reports not retrieved', 'reports assessed'],
    ([excluded, sought, missing, assessed]) =>
      `Of these, ${excluded} were excluded and ${sought} reports were sought; ${missing} could not be retrieved and ${assessed} were assessed for eligibility.`,
  );
  tell(
    ['reports excluded'],
    ([excluded]) => `Excluded after assessment: ${excluded}${reasons('reports excluded')}.`,
  );
  if (flow.otherSources) {
    tell(
      [
        'other records identified',
        'other reports sought',
        'other reports assessed',
        'other reports excluded',
      ],
      ([identified, sought, assessed, excluded]) =>
        `From other sources ${identified} records were identified, ${sought} reports sought and ${assessed} assessed; ${excluded} were excluded${reasons('other reports excluded')}.`,
    );
  }
  if (flow.update) {
    tell(
      [
        'previous studies included',
        'previous reports included',
        'new studies included',
        'new reports included',
      ],
      ([studies, reports, newStudies, newReports]) =>
        `The previous version included studies: ${studies}, in reports: ${reports}; newly included studies: ${newStudies}, in reports: ${newReports}.`,
    );
  }
  const [studies, reports] = [counts['studies included'].total, counts['reports included'].total];
  if (isReported(studies) && isReported(reports)) {
    write.say(
      '16a',
      `The review included ${counted(studies, 'study', 'studies')} described in ${counted(reports, 'report')} (Figure 1).`,
      { rows: rowsOf('studies included', 'reports included'), results: ['flow'] },
    );
  } else {
    tell(
      ['studies included', 'reports included'],
      ([included, described]) => `Included were studies: ${included}, described in reports: ${described}.`,
    );
  }
}

function writeCharacteristics(write: Writer, { review }: ManuscriptInput): void {
  const { studies, arms, protocol } = review;
  write.heading('Results', 'Study characteristics');
  if (studies.length === 0) {
    write.say('17', 'No study was included.');
    return;
  }
  const years = studies.map(({ year }) => year);
  const [first, last] = [Math.min(...years), Math.max(...years)];
  const designs = [...new Set(studies.map(({ design }) => design))]
    .map((design) => ({ design, rows: studies.filter((study) => study.design === design) }))
    .sort((a, b) => b.rows.length - a.rows.length);
  const rows = studies.map(({ row }) => row);
  write.say(
    '17',
    `The ${counted(studies.length, 'report')} ${studies.length === 1 ? 'was' : 'were'} published ${first === last ? `in ${first}` : `from ${first} to ${last}`}; by design: ${listed(designs.map(({ design, rows: of }) => `${design} ${shareOf(of.length, studies.length)}`))}.`,
    { rows, results: ['review.studies'] },
  );
  const bySite = pooledSites.map((site) => ({
    site,
    arms: arms.filter((arm) => classifySite(arm, protocol.siteRule).site === site),
  }));
  const known = bySite.filter(({ arms: of }) => of.length > 0);
  if (known.length > 0) {
    const texts = known.map(({ site, arms: of }) => {
      const sizes = of.flatMap(({ shouldersAnalysed }) =>
        isReported(shouldersAnalysed) ? [shouldersAnalysed] : [],
      );
      const shoulders = sizes.reduce((sum, size) => sum + size, 0);
      const silent = of.length - sizes.length;
      return `${small(siteNames[site])} ${counted(of.length, 'arm')} with ${counted(shoulders, 'shoulder')}${silent > 0 ? ` (${counted(silent, 'arm')} without a number)` : ''}`;
    });
    write.say(
      '17',
      `Arms and shoulders analysed by site, before overlapping reports were set aside: ${listed(texts)}.`,
      {
        rows: known.flatMap(({ arms: of }) => of.map(({ row }) => row)),
        results: ['review.arms'],
      },
    );
  }
  const followUp = studies.flatMap(({ followUpMeanMonths }) =>
    isReported(followUpMeanMonths) ? [followUpMeanMonths] : [],
  );
  if (followUp.length > 0) {
    const [low, high] = [Math.min(...followUp), Math.max(...followUp)];
    write.say(
      '17',
      `Mean follow-up was reported by ${shareOf(followUp.length, studies.length)} reports${low === high ? ` and was ${low} months` : `, from ${low} to ${high} months`}.`,
      { rows: studies.filter((study) => isReported(study.followUpMeanMonths)).map(({ row }) => row) },
    );
  }
  write.ask('17', 'Characteristics of each study are given in {0}.', [
    'number of the table of characteristics',
  ]);
}

/** Overall judgements where an instrument has one, sums where it is scored, and who was not judged. */
function writeJudgements(write: Writer, { quality = [] }: ManuscriptInput): void {
  write.heading('Results', 'Risk of bias in studies');
  const judged = quality.flatMap(({ judgement, others }) => [...(judgement ? [judgement] : []), ...others]);
  if (judged.length === 0) {
    write.ask('18', 'Risk of bias of the studies was {0}.', ['judgements for each study']);
    return;
  }
  for (const instrument of [...new Set(judged.map((each) => each.instrument))]) {
    const own = judged.filter((each) => each.instrument === instrument);
    const sources = { rows: own.flatMap(({ rows }) => rows), results: ['quality'] };
    const sums = own.flatMap((each) => judgedSum(each) ?? []);
    const overall = own.flatMap(({ typed: said, derived }) => said ?? derived ?? []);
    if (sums.length > 0) {
      const complete = sums.filter(({ unjudged }) => unjudged === 0);
      const maxima = [...new Set(complete.map(({ maximum }) => maximum))].sort((a, b) => a - b);
      const groups = maxima.map((maximum) => {
        const points = complete.flatMap((sum) => (sum.maximum === maximum ? [sum.points] : []));
        const [low, high] = [Math.min(...points), Math.max(...points)];
        return `${low === high ? low : `${low} to ${high}`} of ${maximum} in ${counted(points.length, 'report')}`;
      });
      if (groups.length > 0)
        write.say(
          '18',
          `The points of the ${typed(instrument)} were ${listed(groups)}; a sum hides which items failed, so the items are given study by study.`,
          sources,
        );
      // What nobody judged is not nought: the sum of such a report is a range.
      const open = sums.filter(({ unjudged }) => unjudged > 0);
      if (open.length > 0)
        write.say(
          '18',
          `Items of the ${typed(instrument)} were not judged in ${counted(open.length, 'report')}, so that ${agreeing(open.length, 'its sum is', 'their sums are')} known only within a range: ${listed(open.map(({ points, judgedMaximum, unjudged, items, most, maximum }) => `${points} of ${judgedMaximum} on the items judged with ${unjudged} of ${items} not judged (${points} to ${most} of ${maximum})`))}.`,
          sources,
        );
    } else if (overall.length > 0) {
      const answers = [...new Set(overall)]
        .map((answer) => ({ answer, count: overall.filter((each) => each === answer).length }))
        .sort((a, b) => b.count - a.count);
      write.say(
        '18',
        `The overall judgement by the ${typed(instrument)} was ${listed(answers.map(({ answer, count }) => `${typed(answer)} in ${shareOf(count, overall.length)}`))} reports.`,
        sources,
      );
    } else {
      write.ask(
        '18',
        `The ${typed(instrument)} was used in ${counted(own.length, 'report')}: {0}.`,
        ['overall judgements'],
        sources,
      );
    }
  }
  const silent = quality.filter(({ concern }) => concern === 'not judged').length;
  if (silent > 0) {
    write.say(
      '18',
      `Without a judgement ${silent === 1 ? 'was' : 'were'} ${shareOf(silent, quality.length)} reports.`,
      {
        results: ['quality'],
      },
    );
  }
  write.ask('18', 'Judgements for each study are given in {0}.', ['number of the table or figure'], {
    results: ['quality'],
  });
}
