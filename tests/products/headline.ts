/**
 * What a headline looks like: a value with its interval behind it, `12 (8.1 to 18)`, `5.6 in 100 (95% CI 2.3 to 13)`,
 * `7.9 fewer in 100 (13 fewer to 2 more)`, `no difference in 100 (…)`, `1.2 points (−0.4 to 2.8)`, `0.29 (0.10 to 0.80)`.
 */
const number = String.raw`[<>]?[\u2212-]?\d[\d,]*(?:\.\d+)?`;
const limit = `(?:${number}(?: ?%)?(?: (?:fewer|more|lower|higher))?|no difference)`;
const between = String.raw`\u2020?(?: (?:in|per) 1(?:00|,?000)(?: shoulders| shoulder-years)?)?(?: points)?[\s\u00a0]`;
const before = String.raw`(?:(?:exact )?(?:\d+(?:\.\d+)? ?% )?(?:CI|CrI|interval|exact interval|confidence interval|exact)[:,]? )?`;

export interface Headline {
  /** As printed, from the value to the end of the limits. */
  readonly text: string;
  readonly value: string;
  readonly lower: string;
  readonly upper: string;
}

const headline = new RegExp(
  String.raw`(?<value>(?<![\d.,\u2212-]|seen in |all of )${number}(?: ?%)?(?: (?:fewer|more))?|[Nn]o difference)(?<unit>${between})[(\[]${before}(?<lower>${limit}) to (?<upper>${limit})`,
  'g',
);
/** How far studies differ is no answer to a question: between-study variance, spread, I squared. */
const ofSpread = /(?:\u03c4\u00b2?|I\u00b2|between-study (?:spread|variance))[^.;(]{0,12}$/;

/** Every value with an interval in a text. */
export const headlinesIn = (text: string): readonly Headline[] =>
  [...text.matchAll(headline)].flatMap(({ 0: all, index, groups }) =>
    ofSpread.test(text.slice(Math.max(0, index - 40), index))
      ? []
      : [{ text: all, value: groups!.value!, lower: groups!.lower!, upper: groups!.upper! }],
  );

/** Limits by themselves, whose value stands in another cell or beside them in a picture. */
export const limitsAlone = new RegExp(String.raw`^[(\[]?(?<lower>${limit}) to (?<upper>${limit})[)\]]?$`);
