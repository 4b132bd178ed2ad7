// The demonstration as text, to be changed by tests: longer names, more outcomes, hostile words.
import { readdirSync, readFileSync } from 'node:fs';
import { readReview } from '../../../src/extraction/readReview.ts';
import type { Review } from '../../../src/extraction/review.ts';

const folder = 'data-extraction/demo';

export const demoFiles = (): Record<string, string> =>
  Object.fromEntries(
    readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map(({ name }) => [name, readFileSync(`${folder}/${name}`, 'utf8')]),
  );

export function reviewOf(files: Readonly<Record<string, string>>): Review {
  const { review, problems } = readReview(files);
  if (review === undefined) throw new Error(problems.map((problem) => JSON.stringify(problem)).join('\n'));
  return review;
}

export const demoReview = (): Review => reviewOf(demoFiles());

/** The demonstration with its protocol changed. */
export function withProtocol(
  change: (protocol: { outcomes: Record<string, unknown>[] } & Record<string, unknown>) => void,
  changeFiles: (files: Record<string, string>) => Record<string, string> = (files) => files,
): Review {
  const files = changeFiles(demoFiles());
  const protocol = JSON.parse(files['protocol.json'] ?? '{}');
  change(protocol);
  return reviewOf({ ...files, 'protocol.json': JSON.stringify(protocol) });
}

/** Every name as long as a table allows, without a place to break it, and every kind of markup in it. */
export const nastyNames = [
  'W'.repeat(60),
  'Persistent pain over the bicipital groove at last follow-up 12',
  '<img src=x onerror="alert(1)"> & "quotes" \'single\' </a:t>',
  '=HYPERLINK("http://x","y")',
  'a\u202eb\u0007c\ud800d \ufffe 𝒜',
  'mmmm mmmm mmmm mmmm mmmm mmmm mmmm mmmm mmmm mmmm mmmm mmmm',
] as const;

export const nastyReview = (): Review =>
  withProtocol((protocol) => {
    const events = protocol.outcomes.filter(({ kind }) => kind === 'events');
    for (const [at, outcome] of events.entries()) outcome.name = nastyNames[at % nastyNames.length];
    protocol.title = '<b>Review</b> & "more"';
    protocol.question = `Is it so? ${'A question that does not end and goes on for as long as a person types, '.repeat(12)}`;
    protocol.notice = 'Invented <i>data</i>';
  }, nastyLabels);

/** A study whose name is markup, quoted as a spreadsheet quotes it. */
const nastyLabels = (files: Record<string, string>): Record<string, string> => ({
  ...files,
  'studies.csv': files['studies.csv']!.replace(
    'Norholt 2009',
    '"<img src=x onerror=""alert(1)""> & </a:t> 2009"',
  ),
});

/** Ten outcomes, more than one slide's table holds. */
export const crowdedReview = (): Review =>
  withProtocol((protocol) => {
    const first = protocol.outcomes[0]!;
    for (let at = 1; at <= 4; at++)
      protocol.outcomes.push({ ...first, id: `extra-${at}`, name: `Further outcome number ${at}` });
  });
