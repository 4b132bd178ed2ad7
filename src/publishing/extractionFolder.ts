import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { type ExtractionReading, readExtraction } from '../extraction/agreement/readExtraction.ts';

/**
 * What did the person who filled in this folder extract?
 *
 * @param name for sentences; default the folder as given
 * @throws when there is no such folder or a file of it cannot be read, in a sentence for the person who typed it
 */
export function readExtractionFolder(folder: string, name = folder): ExtractionReading {
  if (!existsSync(folder)) throw new Error(`there is no folder ${folder}`);
  if (!statSync(folder).isDirectory())
    throw new Error(`${folder} is a file; name the folder that holds protocol.json and the sheets`);
  const files: Record<string, Uint8Array> = {};
  for (const file of readdirSync(folder).filter((each) => /\.(csv|json)$/i.test(each))) {
    const path = join(folder, file);
    if (!statSync(path).isFile()) continue;
    try {
      files[file] = readFileSync(path);
    } catch (error) {
      throw new Error(`${path} cannot be read: ${error instanceof Error ? error.message : String(error)}`);
    }
  }
  return readExtraction(name, files);
}

/** The two people's folders of a review, where it keeps them: `extractors/first` and `extractors/second`. */
export function extractorFolders(review: string): readonly [string, string] | undefined {
  const folders = [join(review, 'extractors', 'first'), join(review, 'extractors', 'second')] as const;
  return folders.every((each) => existsSync(each)) ? folders : undefined;
}

/** The decisions of a review, where it keeps them: `extractors/decisions.csv`. */
export function readExtractorDecisions(review: string): Uint8Array | undefined {
  const path = join(review, 'extractors', 'decisions.csv');
  return existsSync(path) ? readFileSync(path) : undefined;
}
