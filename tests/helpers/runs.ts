/**
 * How often a property test draws: as given, or ten times as often in `npm run test:long` (`TENOSITE_LONG=1`). The seed
 * stays what `fixedSeed.ts` or the test says.
 */
export const runs = (usual: number): number => (process.env.TENOSITE_LONG === '1' ? 10 * usual : usual);
