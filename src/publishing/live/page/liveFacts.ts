import type { Review } from '../../../extraction/review.ts';
import type { PageFacts } from '../../pageFacts.ts';

/** What the page was made from: the folder as named, its files, and the programs that made the page. */
export interface LiveSource {
  readonly folder: string;
  /** Contents by file name: text, or bytes in base 64 where the file is no UTF-8. */
  readonly files: Readonly<Record<string, string | { readonly base64: string }>>;
  readonly tenositeVersion: string;
  readonly nodeVersion: string;
}

/** The files as {@link readReview} takes them. */
export function filesOf({ files }: LiveSource): Readonly<Record<string, string | Uint8Array>> {
  return Object.fromEntries(
    Object.entries(files).map(([name, content]) => [
      name,
      typeof content === 'string'
        ? content
        : Uint8Array.from(atob(content.base64), (character) => character.charCodeAt(0)),
    ]),
  );
}

/** What the page and its files say about the review. */
export const liveFacts = ({ protocol }: Review, source: LiveSource): PageFacts => ({
  reviewTitle: protocol.title,
  folder: source.folder,
  question: protocol.question,
  inventedData: protocol.inventedData,
  notice: protocol.notice,
  lastSearch: protocol.lastSearch,
  dataFrom: undefined,
  tenositeVersion: source.tenositeVersion,
  nodeVersion: source.nodeVersion,
});
