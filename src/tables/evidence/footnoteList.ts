import type { Footnote } from '../table.ts';

/** Footnotes collected while a table is built; the same words are one footnote. */
export interface FootnoteList {
  /** Keeps a footnote and gives its key. */
  readonly add: (text: string) => string;
  readonly listed: () => readonly Footnote[];
}

export function footnoteList(): FootnoteList {
  const texts: string[] = [];
  const keyOf = (at: number): string => `note-${at}`;
  return {
    add: (text) => {
      const known = texts.indexOf(text);
      if (known !== -1) return keyOf(known);
      texts.push(text);
      return keyOf(texts.length - 1);
    },
    listed: () => texts.map((text, at) => ({ key: keyOf(at), text })),
  };
}
