import type { PairEvidence } from '../../../comparison/pairs/pairEvidence.ts';
import type { Review } from '../../../extraction/review.ts';
import { type PooledSite, siteNames } from '../../../extraction/site.ts';
import { aboutInHundred } from '../../../tables/plainWords/aboutInHundred.ts';
import { pairInWords, peopleOfPair } from '../../../tables/plainWords/pairInWords.ts';
import { baseForPools, poolInWords } from '../../../tables/plainWords/poolInWords.ts';
import { afterSite, dayInWords, siteInSentence } from '../../../tables/plainWords/siteWords.ts';
import { table } from '../../../tables/table.ts';
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
  const rating = evidence.ratingOf(treatment, comparator);
  const words = pairInWords(pair, evidence.outcome, rating);
  const people: SlideBlock[] =
    pair.risks === undefined
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
            look: rating?.level === 'very low' ? ('plain' as const) : ('lead' as const),
          },
        ]),
    ...(words.outside === undefined ? [] : [{ text: words.outside }]),
    ...(words.message === 'no study' ? seriesSentences(evidence, pair) : [{ text: words.certainty }]),
    ...(words.elsewhere === undefined ? [] : [{ text: words.elsewhere }]),
  ];
  return {
    kind: 'slide',
    id: `comparison-${evidence.outcome.id}`,
    title: words.title,
    blocks: [...people, { kind: 'sentences', sentences }],
    source: `${basisOf(pair)}${words.held === undefined ? '' : `; the difference is said at the risk ${afterSite[pair.risks!.riskOf]} in them`}; last search ${dayInWords(review.protocol.lastSearch)}.`,
    notes: [...pairNotes(evidence, pair), ...closingNotes(review)],
  };
}

const basisOf = ({ basis, studies }: PairEvidence): string =>
  basis === undefined
    ? 'No estimate from within any study'
    : basis === 'randomised trials'
      ? 'Randomised trials that did both'
      : basis === 'non-randomised studies'
        ? 'Non-randomised studies that did both'
        : `Within ${studies === 1 ? 'the one study' : 'studies'} that did both`;

/** Where no study tells: what series of each show, and why that is no answer. */
function seriesSentences({ pools }: OutcomeEvidence, pair: PairEvidence): SlideSentence[] {
  const sites = pools.sites.filter(({ site }) => site === pair.treatment || site === pair.comparator);
  const base = baseForPools(sites.map(({ pool }) => pool));
  return [
    { text: 'Series of each, which differ in patients, surgeons and years:' },
    ...sites.map(({ site, pool }) => ({
      text: `${poolInWords(pool, { base }).about} ${afterSite[site]}`,
      look: 'item' as const,
    })),
    { text: 'Set side by side they are not a comparison.', look: 'warning' },
  ];
}

function pairNotes(evidence: OutcomeEvidence, pair: PairEvidence): readonly string[] {
  const { pool } = pair.pair;
  const { risks } = pair;
  const rating = evidence.ratingOf(pair.treatment, pair.comparator);
  const percent = (rate: number): string => (100 * rate).toFixed(1);
  const natural = pool.natural;
  return [
    ...(risks === undefined
      ? [`${pair.name}: no study that treated both gives an estimate.`]
      : [
          `${pair.name}: ${percent(risks.treatment)} against ${percent(risks.comparator)} in 100; difference ${percent(risks.difference.value)} (${percent(risks.difference.lower)} to ${percent(risks.difference.upper)}) in 100. The difference is said at the risk ${afterSite[risks.riskOf]} (${risks.source}), ${risks.riskKnown ? 'taken as known' : `${percent(risks.riskInterval.lower)} to ${percent(risks.riskInterval.upper)} in 100`}.`,
        ]),
    ...(natural?.interval === undefined
      ? []
      : [
          `Behind it stands an odds ratio (${pair.pair.name}) of ${natural.value.toPrecision(3)} (${natural.interval.lower.toPrecision(3)} to ${natural.interval.upper.toPrecision(3)})${natural.prediction === undefined ? '' : `, in a new study ${natural.prediction.lower.toPrecision(3)} to ${natural.prediction.upper.toPrecision(3)}`}. Not for the slide: a ratio alone makes effects look larger than they are.`,
        ]),
    `Smallest difference that matters: ${evidence.outcome.thresholdsPer100.materialDifference} in 100 (${evidence.outcome.thresholdsPer100.source}).`,
    ...(rating === undefined
      ? ['How sure was not rated: no certainty is claimed.']
      : [
          `How sure: ${rating.sentence}`,
          ...rating.domains
            .filter(({ levels }) => levels !== 0)
            .map(
              ({ domain, levels, evidence: why }) =>
                `${domain}: ${levels > 0 ? '+' : ''}${levels}. ${why.join(' ')}`,
            ),
        ]),
    `Method: ${pool.methodsSentence}`,
    ...pool.cautions.map(({ message }) => `Caution: ${message}`),
    ...(pair.pair.studies.length === 0
      ? []
      : [
          `Counts (${pair.pair.name}): ${pair.pair.studies.map(({ label, treated, comparator, rows }) => `${label} ${treated.events} of ${treated.total} against ${comparator.events} of ${comparator.total} (${(rows ?? []).map(placeOf).join('; ')})`).join('. ')}.`,
        ]),
    ...pool.leftOut.map(({ label, reason }) => `Left out: ${label}: ${reason}`),
  ];
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
      words: pairInWords(pair, evidence.outcome, evidence.ratingOf(treatment, comparator)),
    };
  });
  const told = each.filter(
    ({ evidence, words }) =>
      ['fewer', 'more', 'little difference'].includes(words.message) &&
      evidence.ratingOf(treatment, comparator)?.level !== 'very low',
  ).length;
  const [held] = each.flatMap(({ pair }) => pair.risks?.riskOf ?? []);
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
          rows: each.map(({ evidence, pair, words }) => {
            const { risks } = pair;
            const { outcome } = evidence;
            const sure = evidence.ratingOf(treatment, comparator)?.level ?? 'not rated';
            if (risks === undefined) return { outcome: outcome.name, difference: words.cell, sure };
            const rate = (value: number) =>
              aboutInHundred(value, undefined, undefined, { base: words.base }).about.replace('about ', '');
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
    source: `People having it, within studies that did both${held === undefined ? '' : `; differences are said at the risk ${afterSite[held]} in them`}; last search ${dayInWords(review.protocol.lastSearch)}.`,
    notes: [
      ...each.flatMap(({ evidence, pair }) => [`${evidence.outcome.name}:`, ...pairNotes(evidence, pair)]),
      ...closingNotes(review),
    ],
  };
}
