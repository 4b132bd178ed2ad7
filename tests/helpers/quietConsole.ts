// Unexpected console output or process warnings fail the test that caused them.
import { afterEach, beforeEach, expect, vi } from 'vitest';

const methods = ['log', 'info', 'warn', 'error', 'debug'] as const;

beforeEach(() => {
  for (const method of methods) vi.spyOn(console, method).mockImplementation(() => undefined);
  vi.spyOn(process, 'emitWarning').mockImplementation(() => undefined);
});

afterEach(() => {
  for (const method of methods) {
    const calls = vi.mocked(console[method]).mock?.calls ?? [];
    expect(calls, `unexpected console.${method}`).toEqual([]);
  }
  expect(vi.mocked(process.emitWarning).mock?.calls ?? [], 'unexpected process warning').toEqual([]);
  vi.restoreAllMocks();
});
