import { readReview } from '../../../src/extraction/readReview.ts';
import { selectEvents } from '../../../src/extraction/selectEvents.ts';
import { poolBySite } from '../../../src/pooling/poolBySite.ts';
import { protocolOptions } from '../../../src/pooling/protocolOptions.ts';
import { analyse } from '../../../src/publishing/live/analysis/analyse.ts';
import { readQuality } from '../../../src/publishing/live/analysis/readQuality.ts';
import { changeState, openingState } from '../../../src/publishing/live/state/changeState.ts';
import { type BenchmarkEntry, inProcess } from '../benchmark.ts';
import { sixtyArms } from '../sixtyArms.ts';

export const entry: BenchmarkEntry = () => {
  const { review, problems } = readReview(sixtyArms());
  if (review === undefined) throw new Error(`the sixty arms have ${problems.length} problems`);
  const { protocol } = review;
  const states = [0.8, 0.9].map(
    (level) => changeState(protocol, openingState(protocol), { kind: 'choose', choices: { level } }).state,
  );
  const quality = readQuality(review, 'cosmetic-deformity');
  let turn = 0;
  const page = () => {
    turn += 1;
    return analyse(review, states[turn % 2]!, quality);
  };
  const alone = () => {
    turn += 1;
    const { arms, outcome } = selectEvents(review, 'cosmetic-deformity');
    return poolBySite(arms, {
      ...protocolOptions(protocol, outcome),
      level: states[turn % 2]!.departures.level!,
    });
  };
  const arms = page().arms.length;
  if (arms !== 60) throw new Error(`sixty arms were wanted, there are ${arms}`);
  return [
    {
      kind: 'ratio',
      name: 'the live page pools sixty arms again, against its pools alone',
      subject: inProcess('a change on the live page', page),
      reference: inProcess('selectEvents and poolBySite', alone),
      direction: 'at-most',
      target: 1.5,
    },
    {
      kind: 'budget',
      name: 'the live page pools sixty arms again, within a frame',
      subject: inProcess('a change on the live page', page),
      budgetMilliseconds: 16,
    },
  ];
};
