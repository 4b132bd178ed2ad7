import type { WhatWouldChange } from '../../robustness/influence/whatWouldChange.ts';
import { percentDigits } from '../rateText.ts';
import { extremeOmissions, isQuotedApart, poolOf, type SiteChanges } from '../whatWouldChangeTable.ts';

/**
 * Does one study decide the rate at this site, judged by a difference that matters?
 *
 * @param material a proportion, such as 0.02 for two per 100
 */
export function whatWouldChangeReading(
  { studies, changes }: SiteChanges,
  material: number,
): readonly string[] {
  if (changes === undefined) return [nothingToChange(studies)];
  return [omissionSentence(changes, material), ...subsetSentences(changes, material)];
}

const nothingToChange = (studies: number): string =>
  studies === 0
    ? 'No study reports this here.'
    : studies === 1
      ? 'One study only: leave it out and nothing is left.'
      : 'No rate is pooled from several arms here, because none or all of the shoulders had it or too few arms have a finite rate: there is nothing to leave out.';

function omissionSentence(changes: WhatWouldChange, material: number): string {
  const ends = extremeOmissions(changes);
  const rate = poolOf(changes);
  const whose = isQuotedApart(changes)
    ? `the pool’s rate of ${percentDigits(rate)} in 100 (quoted: ${percentDigits(changes.pool.headline!.rate)})`
    : `the rate of ${percentDigits(rate)} in 100`;
  if (ends === undefined) return 'The rate without each study cannot be turned back into a rate.';
  const { lowest, highest } = ends;
  const furthest = Math.abs(highest.rate - rate) > Math.abs(lowest.rate - rate) ? highest : lowest;
  const moved = Math.abs(furthest.rate - rate);
  const measure = `the ${percentDigits(material)} in 100 set as mattering`;
  return `Leaving out any one study moves ${whose} no further than to ${percentDigits(furthest.rate)} (without ${furthest.label}), ${moved < material ? `less than ${measure}: no single study decides it` : `as much as ${measure} or more: read ${furthest.label} again before quoting the rate`}.`;
}

function subsetSentences({ description, subsetRates, cloud }: WhatWouldChange, material: number): string[] {
  if (description === undefined || subsetRates === undefined) return [];
  const { low, high } = subsetRates;
  const wide = high - low >= material;
  const what =
    cloud.taken === 'all'
      ? `Of all ${description.subsets} subsets of two or more arms`
      : `Of ${description.subsets} subsets drawn at random`;
  const sentences = [
    `${what}, 95 in 100 give a rate between ${percentDigits(low)} and ${percentDigits(high)} in 100${wide ? ': which studies were done matters' : ''}.`,
  ];
  const splitting = description.presence.filter(({ splits }) => splits);
  const first = description.presence[0];
  if (splitting.length > 0) {
    sentences.push(
      `The subsets fall apart by whether they hold ${splitting.map(({ label }) => label).join(' or ')}: presence alone explains half or more of their spread in rate or in I².`,
    );
  } else if (first?.shareOfMeans !== undefined || first?.shareOfISquared !== undefined) {
    sentences.push(
      `No study splits the subsets: the strongest, ${first.label}, explains ${share(first.shareOfMeans)} of the spread in rate and ${share(first.shareOfISquared)} of that in I².`,
    );
  }
  return sentences;
}

const share = (value: number | undefined): string =>
  value === undefined ? 'none' : `${Math.round(100 * value)} %`;

/** A test that does not show a lean has not shown that there is none; a test without an answer has shown nothing. */
function unshownLean(
  tested: readonly { readonly name: string; readonly test: { readonly pValue: number | undefined } }[],
): string {
  const named = (answered: boolean): string =>
    tested
      .filter(({ test }) => (test.pValue !== undefined) === answered)
      .map(({ name }) => name)
      .join(', ');
  const [shown, silent] = [named(true), named(false)];
  return [
    ...(shown === ''
      ? []
      : [`The tests do not show small arms to differ from large ones (${shown}); they cannot exclude it.`]),
    ...(silent === '' ? [] : [`The test has no answer at: ${silent}.`]),
  ].join(' ');
}

/** What the tests of small studies say over several sites, and what they do not. */
export function sizeTestReading(sites: readonly SiteChanges[]): readonly string[] {
  const tested = sites.flatMap(({ name, changes }) =>
    changes?.sizeTest.kind === 'regression-test' ? [{ name, test: changes.sizeTest }] : [],
  );
  const refused = sites.filter(({ changes }) => changes?.sizeTest.kind === 'small-study-refusal');
  const lean = tested.filter(({ test }) => test.pValue !== undefined && test.pValue < 0.1);
  const lines: string[] = [];
  if (tested.length > 0) {
    lines.push(
      lean.length === 0
        ? unshownLean(tested)
        : `Small and large arms differ by more than chance readily gives (p below 0.1): ${lean
            .map(({ name, test }) => `${name}, small arms ${test.line.slope.value > 0 ? 'higher' : 'lower'}`)
            .join(
              '; ',
            )}. Missing studies are one reason among several: patients, definitions and how hard one looked are others.`,
    );
  }
  if (refused.length > 0) {
    lines.push(`Not tested, with fewer than ten studies: ${refused.map(({ name }) => name).join(', ')}.`);
  }
  if (lines.length === 0) lines.push('No site has a rate to test.');
  return lines;
}
