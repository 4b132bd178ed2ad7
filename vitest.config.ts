import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    // Anything a test prints that it did not expect is a failure: see tests/helpers/quietConsole.ts.
    setupFiles: ['tests/helpers/quietConsole.ts', 'tests/helpers/fixedSeed.ts'],
  },
});
