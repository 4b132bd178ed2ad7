import type { ReportingItem } from '../../extraction/reportingItems.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { type ReferenceId, references } from './references.ts';
import type { ManuscriptParagraph, Sentence } from './sentence.ts';

/** Where a sentence comes from, as its writer knows it. */
export interface SourcesGiven {
  readonly rows?: readonly RowAddress[];
  readonly results?: readonly string[];
  readonly protocol?: readonly string[];
}

/** Collects sentences under headings and numbers the works they cite. */
export interface Writer {
  /** The number of a work in the reference list, in parentheses; `(3, 4)` for two. */
  readonly cite: (...ids: readonly ReferenceId[]) => string;
  readonly heading: (part: ManuscriptParagraph['part'], heading: string) => void;
  /** Lets the next sentence begin a paragraph under the same heading. */
  readonly newParagraph: () => void;
  readonly say: (item: ReportingItem, text: string, sources?: SourcesGiven) => void;
  /** A sentence with gaps: `{0}` stands for the first thing to supply, printed in square brackets. */
  readonly ask: (
    item: ReportingItem,
    text: string,
    toSupply: readonly string[],
    sources?: SourcesGiven,
  ) => void;
  readonly paragraphs: () => readonly ManuscriptParagraph[];
  readonly cited: () => readonly string[];
}

/** A new, empty writer. Numbers are given in the order of first citation, so sentences must be written in order. */
export function newWriter(): Writer {
  const order: ReferenceId[] = [];
  const paragraphs: { part: ManuscriptParagraph['part']; heading: string; sentences: Sentence[] }[] = [];
  let breaks = false;
  const add = (sentence: Sentence): void => {
    const last = paragraphs.at(-1);
    if (last === undefined) throw new Error(`a sentence stands before any heading: ${sentence.text}`);
    const text = sentence.text.replace(/ (=|<|>|\u2212) (?=[\d\u2212])/g, '\u00a0$1\u00a0');
    last.sentences.push({
      ...sentence,
      text,
      ...(breaks && last.sentences.length > 0 ? { startsParagraph: true } : {}),
    });
    breaks = false;
  };
  const sourcesOf = ({ rows = [], results = [], protocol = [] }: SourcesGiven = {}) => ({
    rows,
    results,
    protocol,
  });
  return {
    cite: (...ids) => {
      for (const id of ids) if (!order.includes(id)) order.push(id);
      return `(${ids
        .map((id) => order.indexOf(id) + 1)
        .sort((a, b) => a - b)
        .join(', ')})`;
    },
    heading: (part, heading) => {
      breaks = false;
      paragraphs.push({ part, heading, sentences: [] });
    },
    newParagraph: () => {
      breaks = true;
    },
    say: (item, text, sources) => add({ text, item, sources: sourcesOf(sources), toSupply: [] }),
    ask: (item, text, toSupply, sources) =>
      add({
        text: toSupply.reduce((filled, gap, at) => filled.replace(`{${at}}`, () => `[${gap}]`), text),
        item,
        sources: sourcesOf(sources),
        toSupply,
      }),
    paragraphs: () => paragraphs.filter(({ sentences }) => sentences.length > 0),
    cited: () => order.map((id) => references[id]),
  };
}
