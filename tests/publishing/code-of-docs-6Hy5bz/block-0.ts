import { describePooledRate, poolBySite, protocolOptions, readReviewFolder, selectEvents } from 'tenosite';

const { review, problems } = await readReviewFolder('data-extraction/demo'); // invented data
if (review === undefined) throw new Error(`${problems.length} problems to cure first`);
const { arms, outcome, leftOut } = selectEvents(review, 'cosmetic-deformity');
const pools = poolBySite(arms, protocolOptions(review.protocol, outcome));
for (const { name, pool } of pools.sites) console.log(`${name}: ${describePooledRate(pool)}`);
console.log(`${leftOut.length} rows were left out. ${pools.notAComparison}`);

export {};
