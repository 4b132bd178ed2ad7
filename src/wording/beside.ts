/**
 * What stands beside the answers of a review: numbers with intervals that are not the number quoted for a question. A
 * table or picture of such numbers says what it is, so that nobody, and no program, takes one of them for an answer.
 */
export const besideAnswers = {
  'methods compared': 'the same question by other methods',
  'other risks': 'the same effect at other risks than the answer is said at',
  'single studies': 'single studies, arms or series',
  'other choices': 'analyses by other choices than the protocol’s, or of part of the studies',
  'sources compared': 'kinds of evidence next to each other: direct, indirect, network, single arms',
  'earlier version': 'the earlier version of the review',
  'published data': 'published data of others, not of this review',
  'about the studies': 'what the studies are like and how far they differ, not what patients had',
} as const;
export type BesideKind = keyof typeof besideAnswers;

/** One line below a caption: `Beside the answers: the same question by other methods.` */
export const besideText = (kind: BesideKind): string => `Beside the answers: ${besideAnswers[kind]}.`;
