import { layOutTalk, pptxOfTalk, readReviewFolder, talkOfReview } from 'tenosite';

const { review } = await readReviewFolder('data-extraction/demo'); // invented data
if (review === undefined) throw new Error('problems to cure first');
const talk = talkOfReview(review, { outcome: 'revision', compare: ['subpectoral', 'tenotomy'] });
for (const { title } of layOutTalk(talk)) console.log(title);
const bytes = await pptxOfTalk(talk);
console.log(bytes.length > 10_000);

export {};
