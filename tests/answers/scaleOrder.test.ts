// Scores in the manuscript: the protocol's first scale is told first although more arms were measured on another, and the
// other is told as well. Invented scores.
import { expect, it } from 'vitest';
import { manuscriptResults } from '../../src/publishing/manuscript/manuscriptResults.ts';
import { manuscriptText } from '../../src/tables/manuscript/manuscriptText.ts';
import { readSound, smallReview } from '../extraction/smallReview.ts';

it('the manuscript tells the first scale of the protocol first, and the other after it', () => {
  const protocol = JSON.parse(smallReview['protocol.json']!);
  protocol.outcomes.push({
    id: 'function',
    name: 'Function',
    kind: 'score',
    better: 'higher',
    scales: ['first', 'second'],
    valueTypes: ['final'],
    prefer: 'longest',
    thresholdsPoints: { materialDifference: 1, source: 'made up' },
  });
  protocol.scales = [
    { id: 'first', name: 'First scale', better: 'higher', ranges: [{ minimum: 0, maximum: 10 }] },
    { id: 'second', name: 'Second scale', better: 'higher', ranges: [{ minimum: 0, maximum: 100 }] },
  ];
  const rows = [
    'study,arm,scale,value_type,follow_up_months,scale_minimum,scale_maximum,shoulders,mean,sd',
    'abel-2010,high,second,final,24,0,100,38,70,15',
    'abel-2010,low,second,final,24,0,100,40,60,15',
    'brun-2015,low,second,final,24,0,100,30,64,15',
    'cilla-2020,only,first,final,36,0,10,200,7,2',
  ];
  const review = readSound({
    ...smallReview,
    'protocol.json': JSON.stringify(protocol),
    'scores.csv': `${rows.join('\n')}\n`,
  });
  const sentences = manuscriptText(manuscriptResults(review, { certainty: 'none' })).paragraphs.flatMap(
    (paragraph) => paragraph.sentences.map(({ text }) => text),
  );
  const means = sentences.filter((text) => /mean on the (?:First|Second) scale .* was /i.test(text));
  // Four means by hand: one on the first scale, three single arms on the second.
  expect(means.map((text) => /on the (\w+) scale/i.exec(text)![1]!.toLowerCase())).toEqual([
    'first',
    'second',
    'second',
    'second',
  ]);
});
