import { poolBySite, protocolOptions, readReviewFolder, rowRanges, selectEvents, traceOf } from 'tenosite';

const { review } = await readReviewFolder('data-extraction/demo'); // invented data
if (review === undefined) throw new Error('the sheets hold an error');
const { arms, outcome } = selectEvents(review, 'revision');
const { sites } = poolBySite(arms, protocolOptions(review.protocol, outcome));
for (const { name, pool } of sites) console.log(`${name}: ${rowRanges(traceOf(pool).rows)}`);

export {};
