// Property tests draw from one seed, so that a landing never fails by the luck of the draw; FAST_CHECK_SEED=random (or a
// number) searches elsewhere.
import fc from 'fast-check';
import { runs } from './runs.ts';

const asked = process.env.FAST_CHECK_SEED ?? '20261125';
if (asked !== 'random') fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(asked) });
fc.configureGlobal({ ...fc.readConfigureGlobal(), numRuns: runs(100) });
