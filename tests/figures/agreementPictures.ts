import { demoExtractorFiles } from '../../data-extraction/makeDemo.ts';
import { compareExtractions } from '../../src/extraction/agreement/compareExtractions.ts';
import { type Extraction, readExtraction } from '../../src/extraction/agreement/readExtraction.ts';
import { agreementPicture } from '../../src/figures/agreementPicture.ts';
import { invented } from './inventedPools.ts';

const files = demoExtractorFiles();
const extraction = (name: string): Extraction => {
  const start = `extractors/${name}/`;
  const own = Object.entries(files).filter(([path]) => path.startsWith(start));
  const read = readExtraction(
    name,
    Object.fromEntries(own.map(([path, text]) => [path.slice(start.length), text])),
  );
  if (read.extraction === undefined) throw new Error(`the extraction of ${name} cannot be read`);
  return read.extraction;
};
const [first, second] = [extraction('first'), extraction('second')];

/** Two extractors who disagree, and two who do not. */
export const agreementPictures: Readonly<Record<string, () => string>> = {
  'agreement-90mm': () =>
    agreementPicture(compareExtractions(first, second), { width: '90mm', notice: invented }),
  'agreement-190mm': () =>
    agreementPicture(compareExtractions(first, second), { width: '190mm', notice: invented }),
  'agreement-none-90mm': () =>
    agreementPicture(compareExtractions(first, first), { width: '90mm', notice: invented }),
  'agreement-none-190mm': () =>
    agreementPicture(compareExtractions(first, first), { width: '190mm', notice: invented }),
};
