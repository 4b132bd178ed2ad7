import type { PairRisks, PairToTell } from '../../../answers/pairToTell.ts';
import { printAnswer } from '../../../answers/printAnswer.ts';
import { bodyInWords, bodyName } from '../../../certainty/bodyInWords.ts';
import { differenceInHundred } from '../../../certainty/perHundred.ts';
import type { SitePair } from '../../../comparison/pairs/comparePairs.ts';
import type { Review } from '../../../extraction/review.ts';
import { type PooledSite, siteNames } from '../../../extraction/site.ts';
import { effectEstimandWords } from '../../../pooling/quoted/estimandWords.ts';
import { effectText } from '../../../tables/evidence/quotedText.ts';
import { pairInWords, peopleOfPair } from '../../../tables/plainWords/pairInWords.ts';
import { baseForPools, poolInWords } from '../../../tables/plainWords/poolInWords.ts';
import { afterSite, dayInWords, siteInSentence } from '../../../tables/plainWords/siteWords.ts';
import { table } from '../../../tables/table.ts';
import { rateDigits } from '../../../wording/numbers.ts';
import { oneMeasure } from '../../../wording/ratioText.ts';
import type { Slide, SlideBlock, SlideSentence } from '../slide.ts';
import type { OutcomeEvidence } from '../talkEvidence.ts';
import { closingNotes, placeOf } from '../talkNotes.ts';

/** The one comparison: people at both sites, the difference, and how sure. */
export function comparisonSlide(
  review: Review,
  evidence: OutcomeEvidence,
  [treatment, comparator]: readonly [PooledSite, PooledSite],
): Slide {
  const pair = evidence.pairOf(treatment, comparator);
  const words = pairInWords(pair, evidence.outcome);
  // People of two sites side by side are seen as a comparison, which series of one site each are not.
  const people: SlideBlock[] =
    pair.risks === undefined || ofSeries(pair)
      ? []
      : [
          {
            kind: 'people',
            groups: peopleOfPair(pair, words.base).map(({ site, filled, upTo }, at) => ({
              name: siteNames[site],
              site,
              people: { base: words.base, filled, upTo },
              lines: [words.risks[at]?.replace(` ${afterSite[site]}`, '') ?? ''],
            })),
            description: `Two squares of people. ${words.opening} ${words.risks.join('; ')}. ${words.difference ?? ''}`,
          },
        ];
  const sentences: SlideSentence[] = [
    { text: words.opening },
    ...words.risks.map((text) => ({ text, look: 'item' as const })),
    ...(words.difference === undefined
      ? []
      : [
          {
            text: words.difference,
            // What nobody can be sure of is not set in bold.
            look: words.verdict === 'cannot be told' ? ('plain' as const) : ('lead' as const),
          },
        ]),
    ...(words.outside === undefined ? [] : [{ text: words.outside }]),
    ...(pair.risks === undefined
      ? seriesSentences(evidence, pair)
      : [...(ofSeries(pair) ? [notCompared] : []), { text: words.certainty }]),
    ...(words.elsewhere === undefined ? [] : [{ text: words.elsewhere }]),
  ];
  return {
    kind: 'slide',
    id: `comparison-${evidence.outcome.id}`,
    title: words.title,
    blocks: [...people, { kind: 'sentences', sentences }],
    source: `${basisOf(pair)}${words.held === undefined ? '' : `, at their risk ${afterSite[pair.risks!.riskOf]}`}; last search ${dayInWords(review.protocol.lastSearch)}.`,
    notes: [...pairNotes(evidence, pair), ...closingNotes(review)],
  };
}

const ofSeries = ({ answer }: PairToTell): boolean => answer.body === 'series against series';

const notCompared: SlideSentence = { text: 'Set side by side they are not a comparison.', look: 'warning' };

const basisOf = ({ answer, risks }: PairToTell): string =>
  risks === undefined
    ? 'No estimate from within any study'
    : answer.body === 'randomised trials'
      ? 'Randomised trials that did both'
      : answer.body === 'series against series'
        ? 'Series of one site each: no study compared the two'
        : answer.body === 'all comparative studies'
          ? 'Randomised trials and other studies that did both, pooled together as the protocol asks'
          : 'Non-randomised studies that did both';

/** Where no study tells: what series of each show, and why that is no answer. */
function seriesSentences({ pools }: OutcomeEvidence, pair: PairToTell): SlideSentence[] {
  const sites = pools.sites.filter(({ site }) => site === pair.treatment || site === pair.comparator);
  const base = baseForPools(sites.map(({ pool }) => pool));
  return [
    { text: 'Series of each, which differ in patients, surgeons and years:' },
    ...sites.map(({ site, pool }) => ({
      text: `${poolInWords(pool, { base }).about} ${afterSite[site]}`,
      look: 'item' as const,
    })),
    notCompared,
  ];
}

/** DerSimonian-Laird beside the quoted ratio, for whoever asks. */
function besideNotes(pair: SitePair | undefined): readonly string[] {
  const { quoted } = pair ?? {};
  const other = quoted?.others.find(({ method }) => method.startsWith('dersimonian-laird'));
  return quoted === undefined || other?.effect === undefined
    ? []
    : [`Beside it, ${other.methodName}: ${effectText(quoted.measure, other, undefined)}.`];
}

function pairNotes(evidence: OutcomeEvidence, told: PairToTell): readonly string[] {
  const { risks, answer } = told;
  const { rating, pair } = answer.behind;
  const pool = pair?.pool;
  const natural = pair?.effect;
  return [
    ...(risks === undefined
      ? [`${told.name}: no study that treated both gives an estimate.`]
      : [
          `${answer.name}: ${printAnswer(answer)}. ${riskSentence(risks)} Body: ${bodyName(answer.body)}. ${answer.bodyRule}`,
        ]),
    ...answer.otherBodies.map(
      ({ body, studies, trials, quoted, certainty }) =>
        `${answer.body === 'all comparative studies' && body !== 'network' ? 'By themselves' : 'Beside it and not mixed in'}, from ${bodyInWords({ design: body, studies, trials })}: ${quoted === undefined ? 'no estimate' : differenceInHundred(quoted).toLowerCase()} (${certainty.level ?? 'no'} certainty).`,
    ),
    ...(natural?.interval === undefined
      ? []
      : [
          `Behind it stands ${oneMeasure(answer.quoted?.relative?.measure ?? 'odds-ratio')} (${pair!.name}${pair!.quoted === undefined ? '' : `; ${effectEstimandWords[pair!.quoted.estimand]}`}) of ${natural.value.toPrecision(3)} (${natural.interval.lower.toPrecision(3)} to ${natural.interval.upper.toPrecision(3)})${natural.prediction === undefined ? '' : `, in a new study ${natural.prediction.lower.toPrecision(3)} to ${natural.prediction.upper.toPrecision(3)}`}. Not for the slide: a ratio alone makes effects look larger than they are.`,
        ]),
    `Smallest difference that matters: ${evidence.outcome.thresholdsPer100.materialDifference} in 100 (${evidence.outcome.thresholdsPer100.source}).`,
    ...(rating === undefined
      ? ['How sure was not rated: no certainty is claimed.']
      : [
          `How sure: ${answer.sentence}`,
          ...rating.domains
            .filter(({ levels }) => levels !== 0)
            .map(
              ({ domain, levels, evidence: why }) =>
                `${domain}: ${levels > 0 ? '+' : ''}${levels}. ${why.join(' ')}`,
            ),
        ]),
    ...(pool === undefined
      ? []
      : [`Method: ${pair?.quoted?.methodsSentence ?? pool.methodsSentence}`, ...besideNotes(pair)]),
    ...answer.cautions.map(({ message }) => `Caution: ${message}`),
    ...(pair === undefined || pair.studies.length === 0
      ? []
      : [
          `Counts (${pair.name}): ${pair.studies.map(({ label, treated, comparator, rows }) => `${label} ${treated.events} of ${treated.total} against ${comparator.events} of ${comparator.total} (${(rows ?? []).map(placeOf).join('; ')})`).join('. ')}.`,
        ]),
    ...answer.notInNumber.map(({ label, reason }) => `Not in the number: ${label}: ${reason}`),
  ];
}

/** Whose risk the difference is said at, how well it is known, and where it comes from. */
function riskSentence({
  riskOf,
  treatment,
  comparator,
  held,
  riskInterval,
  riskKnown,
  source,
}: PairRisks): string {
  const rate = (share: number): string => rateDigits(100 * share);
  const risk = held === 'treatment' ? treatment : comparator;
  const known = riskKnown
    ? 'taken as known'
    : `${rate(riskInterval.lower)} to ${rate(riskInterval.upper)} in 100`;
  return `The difference is said at the risk ${afterSite[riskOf]}, ${rate(risk)} in 100 (${known}): ${source}.`;
}

/** The same pair over all outcomes, in absolute numbers; split where there are more rows than a slide holds. */
export function balanceSlide(
  review: Review,
  outcomes: readonly OutcomeEvidence[],
  [treatment, comparator]: readonly [PooledSite, PooledSite],
): Slide {
  const each = outcomes.map((evidence) => {
    const pair = evidence.pairOf(treatment, comparator);
    return {
      evidence,
      pair,
      words: pairInWords(pair, evidence.outcome),
    };
  });
  const within = each.filter(({ pair }) => !ofSeries(pair));
  const told = within.filter(({ words }) => !['cannot be told', 'not rated'].includes(words.verdict)).length;
  const [held] = within.flatMap(({ pair }) => pair.risks?.riskOf ?? []);
  return {
    kind: 'slide',
    id: 'balance',
    title: `${siteNames[treatment]} against ${siteInSentence[comparator]}: studies that did both can tell for ${told === 0 ? 'none' : told} of ${outcomes.length} ${outcomes.length === 1 ? 'outcome' : 'outcomes'}`,
    blocks: [
      {
        kind: 'table',
        table: table({
          caption: `${siteNames[treatment]} against ${siteInSentence[comparator]}, within studies that did both`,
          columns: [
            { key: 'outcome', heading: 'Outcome' },
            { key: 'comparator', heading: siteNames[comparator], align: 'right' },
            { key: 'treatment', heading: siteNames[treatment], align: 'right' },
            { key: 'difference', heading: `Fewer or more with ${siteInSentence[treatment]}` },
            { key: 'sure', heading: 'How sure' },
          ],
          answers: each.map(({ pair }) =>
            pair.answer.asPlanned && !ofSeries(pair) ? pair.answer.id : undefined,
          ),
          rows: each.map(({ evidence, pair, words }) => {
            const { risks } = pair;
            const { outcome } = evidence;
            const sure = pair.answer.certainty.level ?? 'not rated';
            if (ofSeries(pair))
              return { outcome: outcome.name, difference: 'no study counted it after both' };
            if (risks === undefined) return { outcome: outcome.name, difference: words.cell, sure };
            const rate = (value: number) => `${rateDigits(100 * value)} in 100`;
            return {
              outcome: outcome.name,
              comparator: rate(risks.comparator),
              treatment: rate(risks.treatment),
              difference: words.cell,
              sure,
            };
          }),
        }),
      },
    ],
    source: `People having it in studies that did both${held === undefined ? '' : `, at their risk ${afterSite[held]}`}; last search ${dayInWords(review.protocol.lastSearch)}.`,
    notes: [
      ...each.flatMap(({ evidence, pair }) => [`${evidence.outcome.name}:`, ...pairNotes(evidence, pair)]),
      ...closingNotes(review),
    ],
  };
}
