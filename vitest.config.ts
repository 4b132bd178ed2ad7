import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    // `npm run test:long` draws ten times as often.
    testTimeout: process.env.TENOSITE_LONG === '1' ? 900_000 : 60_000,
    // Two files at a time on the two cores of a small machine; the default there is one, since the runner counts itself.
    maxWorkers: 2,
    // Anything a test prints that it did not expect is a failure: see tests/helpers/quietConsole.ts.
    setupFiles: ['tests/helpers/quietConsole.ts', 'tests/helpers/fixedSeed.ts'],
    projects: [
      // Publishing starts browsers and processes and writes files: each of its files gets a process of its own. Its long
      // files come first (projects run in the order of their names), so that short ones fill up the end.
      { extends: true, test: { name: 'publishing', include: ['tests/{publishing,products}/**/*.test.ts'] } },
      // The stages before it keep no state between calls and ask nothing of Node, so their test files may share the
      // modules one of them has loaded: loading them anew for each took longer than most of the tests.
      {
        extends: true,
        test: {
          name: 'stages',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/{publishing,products}/**'],
          isolate: false,
        },
      },
    ],
  },
});
