import { NotebookSkipped } from './notebook.ts';
import { failureMessage, NotebookFailed } from './notebookFailed.ts';
import type { NotebookRun } from './notebookRun.ts';
import { expectNotebook } from './openNotebook.ts';
import { type NotebookRecording, type NotebookSetting, recordNotebook } from './recordNotebook.ts';

/**
 * Runs one notebook in this process and gives back what it showed.
 *
 * @throws {NotebookSkipped} when the notebook has nothing to show for this review
 * @throws {NotebookFailed} when it throws, naming the cell, its heading and the line
 */
export async function runNotebook(setting: NotebookSetting): Promise<NotebookRun> {
  let recording: NotebookRecording | undefined;
  const done = expectNotebook(setting.url, ({ dataFrom }) => {
    recording = recordNotebook({ ...setting, facts: { ...setting.facts, dataFrom } });
    return recording.notebook;
  });
  try {
    await import(setting.url);
  } catch (error) {
    if (error instanceof NotebookSkipped) throw error;
    throw new NotebookFailed(failureMessage(setting.name, setting.url, setting.source, error), {
      cause: error,
    });
  } finally {
    done();
  }
  if (recording === undefined) {
    throw new NotebookFailed(`notebook ${setting.name} never called openNotebook(import.meta.url)`);
  }
  return recording.run();
}
