import { existsSync, readFileSync } from 'node:fs';
import type { SavedAnswers } from '../../certainty/changes/compareVersions.ts';
import type { ReviewVersion } from '../../extraction/changes/reviewVersion.ts';
import { reviewFingerprint } from '../../extraction/provenance/fingerprint.ts';

interface SavedReport {
  readonly kind?: unknown;
  readonly changes?: { readonly after?: { readonly fingerprint?: { data?: unknown; rules?: unknown } } };
  readonly answers?: readonly { readonly key?: unknown; readonly after?: { readonly value?: unknown } }[];
  readonly software?: { readonly after?: SavedAnswers['software'] };
}

/**
 * The numbers a version printed, from its own changes.json.
 *
 * @throws in a plain sentence when the file is no such report, or is of other data or rules than the version: what the
 *   software moved could then not be told from what they did
 */
export function readSavedAnswers(path: string, version: ReviewVersion): SavedAnswers {
  if (!existsSync(path)) throw new Error(`there is no file ${path}`);
  let report: SavedReport;
  try {
    report = JSON.parse(readFileSync(path, 'utf8')) as SavedReport;
  } catch {
    throw new Error(`${path} is not JSON`);
  }
  const saved = report?.changes?.after?.fingerprint;
  if (report?.kind !== 'change-report' || saved === undefined || !Array.isArray(report.answers))
    throw new Error(`${path} is not a changes.json that npm run changes wrote`);
  const { data, rules } = reviewFingerprint(version.files);
  if (saved.data !== data || saved.rules !== rules)
    throw new Error(
      `${path} was made from other data or rules than ${version.name}, so it cannot tell what the software moved`,
    );
  const values = report.answers.flatMap(({ key, after }): [string, number][] =>
    typeof key === 'string' && typeof after?.value === 'number' ? [[key, after.value]] : [],
  );
  const software = report.software?.after;
  return { values: Object.fromEntries(values), ...(software === undefined ? {} : { software }) };
}
