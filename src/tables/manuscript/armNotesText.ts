import { sheetArmsOf } from '../../extraction/armEvents.ts';
import { followUpSpan, isWideSpan, patientsOfArms } from '../../pooling/notesOnArms.ts';
import { counted, listed, whole } from '../../wording/words.ts';
import { afterSite } from '../plainWords/siteWords.ts';
import type { EventsResults, ManuscriptInput } from './manuscriptInput.ts';
import type { Writer } from './writer.ts';

/** What the rates take as one although it may not be: unlike follow-up, and two shoulders of one patient. */
export function writeArmNotes(
  write: Writer,
  { pools }: EventsResults,
  review: ManuscriptInput['review'],
  path: string,
): void {
  const behind = pools.sites.flatMap(({ site, pool }, index) =>
    pool.headline === undefined
      ? []
      : [{ site, arms: pool.armsInNumber.flatMap(sheetArmsOf), path: `${path}.sites.${index}.pool` }],
  );
  const spans = behind.map((each) => ({ ...each, span: followUpSpan(each.arms) }));
  const unlike = spans.filter(({ span }) => isWideSpan(span) || span.silent > 0);
  if (unlike.length > 0) {
    const texts = unlike.map(({ site, span: { shortest, longest, silent } }) => {
      const range =
        shortest === undefined
          ? 'not reported'
          : shortest === longest
            ? `${shortest} months`
            : `${shortest} to ${longest} months`;
      return `${range} ${afterSite[site]}${silent === 0 || shortest === undefined ? '' : ` (not reported for ${counted(silent, 'arm')})`}`;
    });
    write.say(
      '20b',
      `Each rate takes as one proportion arms that were followed for unlike or unknown times: ${listed(texts)}.`,
      {
        rows: unlike.flatMap(({ arms }) => arms.map(({ row }) => row)),
        results: unlike.map((each) => each.path),
      },
    );
  }
  const patients = behind.map((each) => ({ ...each, patients: patientsOfArms(each.arms, review) }));
  const shared = patients.filter(({ patients: { more, unknown } }) => more.length + unknown.length > 0);
  if (shared.length > 0) {
    const texts = shared.map(({ site, arms, patients: { more, unknown, ...sums } }) => {
      const facts = [
        ...(more.length === 0
          ? []
          : [
              `more shoulders than patients in ${more.length} of ${counted(arms.length, 'arm')} (${whole(sums.shoulders)} of ${whole(sums.patients)})`,
            ]),
        ...(unknown.length === 0
          ? []
          : [
              `patients not reported beside shoulders in ${unknown.length} of ${counted(arms.length, 'arm')}`,
            ]),
      ];
      return `${listed(facts)} ${afterSite[site]}`;
    });
    write.say(
      '20b',
      `Shoulders were analysed as independent, although two may be of one patient: ${texts.join('; ')}.`,
      {
        rows: shared.flatMap(({ arms }) => arms.map(({ row }) => row)),
        results: shared.map((each) => each.path),
      },
    );
  }
}
