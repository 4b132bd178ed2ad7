import type { ReviewFingerprint } from '../extraction/provenance/fingerprint.ts';
import type { SoftwareVersion } from '../extraction/provenance/provenance.ts';
import type { Review } from '../extraction/review.ts';
import type { PageFacts } from './pageFacts.ts';
import { isShippedDemo } from './shippedDemo.ts';
import { sourceRevision } from './sourceRevision.ts';
import { versions } from './versions.ts';

/**
 * What the pages say about a review.
 *
 * @param amendments what the protocol changed since earlier versions, from `openReview`
 * @param fingerprint hashes of the files it was read from; without them the saved results carry no record of their data
 */
export function factsOfReview(
  review: Review,
  folder: string,
  fingerprint?: ReviewFingerprint,
  amendments: readonly string[] = [],
): PageFacts {
  const { protocol } = review;
  const { tenosite, node } = versions();
  return {
    reviewTitle: protocol.title,
    folder: folder.replaceAll('\\', '/'),
    question: protocol.question,
    inventedData: protocol.inventedData,
    isDemo: isShippedDemo(protocol, folder),
    notice: protocol.notice,
    lastSearch: protocol.lastSearch,
    dataFrom: undefined,
    amendments,
    tenositeVersion: tenosite,
    nodeVersion: node,
    ...(fingerprint === undefined ? {} : { provenance: { ...fingerprint, software: softwareVersion() } }),
  };
}

/** This package's version and, where its source is under version control, the revision. */
export function softwareVersion(): SoftwareVersion {
  const revision = sourceRevision();
  return { tenosite: versions().tenosite, ...(revision === undefined ? {} : { revision }) };
}
