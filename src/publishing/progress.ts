/** Says what a run is at: one moving line on a terminal, plain lines elsewhere. */
export interface Progress {
  step(text: string): Promise<void>;
  end(): void;
}

/** Progress on standard error, so that standard output holds results only. */
export async function openProgress(stream: NodeJS.WriteStream = process.stderr): Promise<Progress> {
  if (!stream.isTTY) {
    return { step: async (text) => void stream.write(`${text}\n`), end: () => undefined };
  }
  const { default: ora } = await import('ora');
  const spinner = ora({ stream, discardStdin: false }).start();
  return {
    step: async (text) => {
      spinner.text = text;
      spinner.render();
      await new Promise((resume) => setImmediate(resume));
    },
    end: () => void spinner.stop(),
  };
}
