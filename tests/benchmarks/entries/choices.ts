import { readReviewFolder } from '../../../src/extraction/readReviewFolder.ts';
import { runChoices } from '../../../src/robustness/choices/runChoices.ts';
import { type BenchmarkEntry, inProcess } from '../benchmark.ts';

const least = 5000;

export const entry: BenchmarkEntry = async () => {
  const { review } = await readReviewFolder('data-extraction/demo');
  if (review === undefined) throw new Error('the demonstration review has errors');
  const run = () => runChoices(review, 'groove-pain', { site: 'subpectoral', minus: 'top-of-groove' });
  const { analyses } = run();
  if (analyses.length < least) throw new Error(`the grid holds ${analyses.length} analyses, not ${least}`);
  return [
    {
      kind: 'budget',
      name: `${analyses.length.toLocaleString('en-GB')} analyses of the demo, every choice (${least.toLocaleString('en-GB')} are asked for)`,
      subject: inProcess('runChoices', run),
      budgetMilliseconds: 1000,
      rounds: 5,
    },
  ];
};
