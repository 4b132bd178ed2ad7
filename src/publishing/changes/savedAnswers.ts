import { existsSync, readFileSync } from 'node:fs';
import { z } from 'zod';
import type { SavedAnswers } from '../../changes/compareVersions.ts';
import type { ReviewVersion } from '../../extraction/changes/reviewVersion.ts';
import { reviewFingerprint } from '../../extraction/provenance/fingerprint.ts';

const number = z.number();
const told = z.object({ value: number, lower: number, upper: number });

/** `answers.json` of a run: a list of answers. */
const answersList = z.array(z.object({ id: z.string(), quoted: told.nullable() }));

/** `changes.json`: the report itself, of which the later version is read. */
const changesReport = z.object({
  kind: z.literal('change-report'),
  changes: z.object({ after: z.object({ fingerprint: z.object({ data: z.string(), rules: z.string() }) }) }),
  answers: z.array(z.object({ key: z.string(), after: told.partial().nullish() })),
  software: z.object({ after: z.custom<SavedAnswers['software']>().optional() }).optional(),
});

/**
 * The numbers a version printed, from the `answers.json` of its run or from its own `changes.json`.
 *
 * @throws in a plain sentence when the file is neither, or is a report of other data or rules than the version: what the
 *   software moved could then not be told from what they did
 */
export function readSavedAnswers(path: string, version: ReviewVersion): SavedAnswers {
  if (!existsSync(path)) throw new Error(`there is no file ${path}`);
  let content: unknown;
  try {
    content = JSON.parse(readFileSync(path, 'utf8'));
  } catch {
    throw new Error(`${path} is not JSON`);
  }
  const list = answersList.safeParse(content);
  if (list.success)
    return {
      values: Object.fromEntries(list.data.flatMap(({ id, quoted }) => (quoted ? [[id, quoted]] : []))),
    };
  const report = changesReport.safeParse(content);
  if (!report.success)
    throw new Error(
      `${path} is neither an answers.json that npm start wrote nor a changes.json that npm run changes wrote`,
    );
  const { changes, answers, software } = report.data;
  const saved = changes.after.fingerprint;
  const { data, rules } = reviewFingerprint(version.files);
  if (saved.data !== data || saved.rules !== rules)
    throw new Error(
      `${path} was made from other data or rules than ${version.name}, so it cannot tell what the software moved`,
    );
  const values = answers.flatMap(({ key, after }) => {
    const whole = told.safeParse(after);
    return whole.success ? [[key, whole.data] as const] : [];
  });
  return {
    values: Object.fromEntries(values),
    ...(software?.after === undefined ? {} : { software: software.after }),
  };
}
