import type { Answer, OtherBody } from '../../answers/answer.ts';
import { printAnswer } from '../../answers/printAnswer.ts';
import { verdictClause } from '../../answers/verdictWords.ts';
import { bodyInWords } from '../../certainty/bodyInWords.ts';
import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import { differenceInHundred } from '../../certainty/perHundred.ts';
import { studiesNotInNumber } from '../../pooling/armsInNumber.ts';
import { markAnswer } from '../../wording/answerMark.ts';
import { rateDigits, ratioDigits } from '../../wording/numbers.ts';
import { measureName } from '../../wording/ratioText.ts';
import { capital, counted, listed } from '../../wording/words.ts';
import { afterSite } from '../plainWords/siteWords.ts';
import type { EventsResults } from './manuscriptInput.ts';
import { otherMethodsText } from './quotedMethodsText.ts';
import { figure, predicted, quotedInterval, small, typed } from './words.ts';
import type { Writer } from './writer.ts';

/** The answer to each pair: which studies, the ratio and the difference it means, what may be said, and the other bodies. */
export function writeComparisons(
  write: Writer,
  { comparisons = [], selection }: EventsResults,
  path: string,
): void {
  if (comparisons.length === 0) return;
  write.newParagraph();
  const name = small(typed(selection.outcome.name));
  const silent: string[] = [];
  for (const [at, answer] of comparisons.entries()) {
    if (answer.body === 'series against series') {
      silent.push(small(answer.name));
      continue;
    }
    const { quoted, behind, risk } = answer;
    const rows = behind.pair?.studies.flatMap((study) => study.rows ?? []) ?? [];
    const sources = { rows, results: [`${path}.${at}`] };
    const all = behind.pair?.studies.length ?? answer.studies;
    const estimated = quoted?.relative !== undefined && risk !== undefined;
    const what = `${answer.name}, compared within ${bodyInWords({ design: answer.body, studies: estimated ? answer.studies : all, trials: answer.trials })}`;
    if (quoted?.relative === undefined || risk === undefined) {
      write.say('20b', `${what}: no effect on ${name} could be estimated.`, sources);
      continue;
    }
    const { relative } = quoted;
    const { pair } = behind;
    const prediction = pair?.effect?.prediction;
    const measure = measureName(relative.measure);
    const isDifference = relative.measure === 'risk-difference';
    const show = isDifference ? (value: number) => `${figure(100 * value)} percentage points` : ratioDigits;
    const next =
      prediction === undefined
        ? ''
        : `; ${predicted(prediction.level)} ${show(prediction.lower)} to ${show(prediction.upper)}`;
    const missing = behind.pair?.notInNumber ?? [];
    const outside = missing.length === 0 ? '' : `; ${studiesNotInNumber(missing).replace(/\.$/, '')}`;
    const id = answer.asPlanned ? answer.id : undefined;
    const around =
      risk.interval === undefined
        ? ' (taken as known)'
        : ` (${rateDigits(risk.interval.lower)}% to ${rateDigits(risk.interval.upper)}%)`;
    write.say(
      '20b',
      `${what}: ${measure}${pair?.quoted?.estimand === 'median study' ? ' in the median study' : ''} of ${name} ${markAnswer(id, `${show(relative.value)} (${quotedInterval(quoted.level, pair?.quoted?.method)} ${show(relative.lower)} to ${show(relative.upper)}`)}${next}); at a risk of ${markAnswer(id, `${rateDigits(risk.value)}%${around}`)} ${afterSite[risk.site]}, ${printAnswer(answer)}; ${verdictClause(answer)}${outside}.`,
      sources,
    );
    const beside = otherMethodsText(pair, show);
    if (beside !== undefined)
      write.say('20d', beside, { rows, results: [`${path}.${at}.behind.pair.quoted.others`] });
    for (const other of answer.otherBodies) {
      if (other.body === 'series against series' || other.quoted === undefined) continue;
      write.say('20b', otherBodyText(answer, other, other.quoted), sources);
    }
  }
  if (silent.length > 0) {
    write.say('20b', `No study allowed a comparison within itself, for ${name}, of ${listed(silent)}.`, {
      results: [path],
    });
  }
}

/** What the model that is not quoted says, where the protocol asks for both. */
export function writeModels(
  write: Writer,
  { selection, comparisons = [] }: EventsResults,
  certainty: readonly CertaintyRating[],
  path: string,
): void {
  const rates = certainty.filter(
    ({ question }) => question.kind === 'rate' && question.outcome === selection.outcome.id,
  );
  const said = [
    ...rates.map(({ question, cautions }) => ({
      name: capital(afterSite[question.site]),
      cautions,
    })),
    ...comparisons.map(({ name, cautions }) => ({ name, cautions })),
  ];
  for (const { name, cautions } of said)
    for (const { code, message } of cautions)
      if (code === 'other-model')
        write.say('20b', `${name}: ${message.charAt(0).toLowerCase()}${message.slice(1)}`, {
          results: [path],
        });
}

/** Another body that speaks to the pair, and how it stands to the answer. */
function otherBodyText(
  answer: Answer,
  { body, studies, trials, shoulders }: OtherBody,
  quoted: NonNullable<OtherBody['quoted']>,
): string {
  const who = `${bodyInWords({ design: body, studies, trials })} with ${counted(shoulders, 'shoulder')}`;
  const id = answer.asPlanned ? answer.id : undefined;
  const gave = `gave ${markAnswer(id, differenceInHundred(quoted).toLowerCase())}`;
  if (body === 'network')
    return `The network, direct and indirect evidence together, of ${who} ${gave}; it was rated as a body of its own.`;
  return answer.body === 'all comparative studies'
    ? `Of these, ${who} by themselves ${gave}.`
    : `Apart from these, ${who} ${gave}; they were rated apart and not mixed in.`;
}
