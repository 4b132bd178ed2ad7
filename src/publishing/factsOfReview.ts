import type { Review } from '../extraction/review.ts';
import type { PageFacts } from './pageFacts.ts';
import { versions } from './versions.ts';

/** What the pages say about a review. */
export function factsOfReview(review: Review, folder: string): PageFacts {
  const { protocol } = review;
  const { tenosite, node } = versions();
  return {
    reviewTitle: protocol.title,
    folder: folder.replaceAll('\\', '/'),
    question: protocol.question,
    inventedData: protocol.inventedData,
    notice: protocol.notice,
    lastSearch: protocol.lastSearch,
    dataFrom: undefined,
    tenositeVersion: tenosite,
    nodeVersion: node,
  };
}
