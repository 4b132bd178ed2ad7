import type { ChoicesSummary } from '../../robustness/choices/summariseChoices.ts';
import { signedFixed } from '../../wording/words.ts';

const points = (value: number): string => signedFixed(100 * value, 1);
const percent = (value: number): string =>
  value > 0 && value < 0.005
    ? 'under 1 %'
    : value < 1 && value > 0.995
      ? 'over 99 %'
      : `${Math.round(100 * value)} %`;

/** What running every analysis shows, in sentences chosen by the numbers. */
export function choicesReading(summary: ChoicesSummary): readonly string[] {
  const { answers, protocol, shares, influence, question } = summary;
  if (answers === undefined)
    return [
      `${question}: no analysis has an answer, because no arm reports it${summary.target.minus === undefined ? '' : ' at one of the two sites'}.`,
    ];
  const sentences: string[] = [];
  const own =
    protocol.value === undefined
      ? "the protocol's own has none"
      : `the protocol's own is ${points(protocol.value)}`;
  sentences.push(
    `${question}: the answers run from ${points(answers.lowest)} to ${points(answers.highest)} per 100; ${own}.`,
  );
  const most = [...shares].sort((a, b) => b.share - a.share)[0]!;
  const ownConclusion = shares.find((each) => each.protocol);
  if (most.share === 1) sentences.push(`Every analysis concludes the same: ${most.conclusion}.`);
  else {
    sentences.push(
      `The commonest conclusion is "${most.conclusion}", in ${percent(most.share)} of the analyses${ownConclusion === undefined || ownConclusion === most ? '' : `; the protocol's own, "${ownConclusion.conclusion}", in ${percent(ownConclusion.share)}`}.`,
    );
    const opposed =
      shares.some(({ conclusion, analyses }) => analyses > 0 && /^(?:rate lower|below)/.test(conclusion)) &&
      shares.some(({ conclusion, analyses }) => analyses > 0 && /^(?:rate higher|above)/.test(conclusion));
    if (opposed)
      sentences.push('Some analyses conclude one thing and some its opposite: the choices make the answer.');
  }
  const [first, second] = influence.filter(({ averageRange }) => averageRange > 0);
  if (first === undefined) sentences.push('No choice moves it.');
  else
    sentences.push(
      `What moves it most is "${first.name.toLowerCase()}" (${points(first.averageRange)} per 100 on average)${second === undefined ? '' : `, then "${second.name.toLowerCase()}" (${points(second.averageRange)})`}.`,
    );
  const idle = influence.filter(
    ({ largestRange, changesConclusion }) => largestRange === 0 && changesConclusion === 0,
  );
  if (idle.length > 0)
    sentences.push(`Without any effect here: ${idle.map(({ name }) => name.toLowerCase()).join(', ')}.`);
  return sentences;
}
