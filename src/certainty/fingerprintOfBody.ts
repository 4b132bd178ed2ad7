import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { sheetArmsOf } from '../extraction/armEvents.ts';
import type { BodyOfEvidence } from './bodyOfEvidence.ts';
import type { StudyQuality } from './quality/studyQuality.ts';

/**
 * What does this body of evidence hold? A short text that changes when a study, an arm, its site, a count or a judgement
 * of quality does, and with nothing else: not with pages, notes, labels, or the order of rows.
 *
 * `held-` and the first 12 hexadecimal digits of the SHA-256 of one line for each arm (study, arm, site, events, total)
 * and one for each answer of the instrument that counts for its studies (study, instrument, item, answer), sorted. It
 * begins with a word so that no spreadsheet takes it for a number.
 *
 * @param quality judgements for the outcome of the body, by the instruments preferred for its kind of question; those of
 *   other studies are not read
 * @example
 * fingerprintOfBody(rating.body, qualityForQuestion(review, rating.question)) // 'held-9f86d081884c'
 */
export function fingerprintOfBody(
  body: Pick<BodyOfEvidence, 'arms'>,
  quality: readonly StudyQuality[],
): string {
  const studies = new Set(body.arms.map(({ study }) => study));
  const lines = [
    // Arms of one study at one site are counted together, in the order of the sheet; here each is its own.
    ...body.arms
      .flatMap(sheetArmsOf)
      .map(({ study, arm, site, events, total }) => ['arm', study, arm, site, events, total]),
    ...quality
      .filter(({ study }) => studies.has(study))
      .flatMap(({ study, judgement }) => {
        if (judgement === undefined) return [];
        const { instrument, items, typed } = judgement;
        const answers = items.flatMap(({ item, answer }) =>
          answer === undefined || item === 'overall' ? [] : [[item, answer]],
        );
        return [...answers, ...(typed === undefined ? [] : [['overall', typed]])].map((answer) => [
          'judgement',
          study,
          instrument,
          ...answer,
        ]);
      }),
  ];
  const text = lines
    .map((line) => JSON.stringify(line))
    .sort()
    .join('\n');
  return `held-${bytesToHex(sha256(utf8ToBytes(text))).slice(0, 12)}`;
}
