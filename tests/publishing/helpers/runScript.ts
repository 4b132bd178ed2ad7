import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** The root of the project. */
export const projectRoot = fileURLToPath(new URL('../../..', import.meta.url));

export interface ScriptEnd {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Runs a TypeScript file as a person would, in a process of its own. */
export function runScript(file: string, words: readonly string[] = []): Promise<ScriptEnd> {
  const child = spawn(process.execPath, ['--import', 'tsx', file, ...words], { cwd: projectRoot });
  let out = '';
  let err = '';
  child.stdout.on('data', (data) => (out += String(data)));
  child.stderr.on('data', (data) => (err += String(data)));
  return new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => resolve({ code, out, err }));
  });
}

/** Runs the command behind `npm start`. */
export function start(...words: readonly string[]): Promise<ScriptEnd> {
  return runScript('src/publishing/start.ts', words);
}
