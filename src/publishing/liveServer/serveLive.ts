import { resolve } from 'node:path';
import { createServer, type ViteDevServer } from 'vite';
import { liveConfig } from './liveConfig.ts';
import { readSource } from './readSource.ts';

/** A page being served: where, and how to end it. */
export interface ServedLive {
  readonly address: string;
  readonly close: () => Promise<void>;
}

/** A file that is still being written is given this long to be finished. */
const settleMilliseconds = 120;

/**
 * Serves the live page of a folder and watches it: when a file of the folder is saved, the page reads all of them again
 * and keeps what the reader had chosen. Errors in the sheets are shown on the page, in the words of the check.
 *
 * @throws when there is no such folder
 */
export async function serveLive(
  folder: string,
  options: { readonly port?: number } = {},
): Promise<ServedLive> {
  await readSource(folder);
  const config = liveConfig(() => readSource(folder), []);
  const server = await createServer({
    ...config,
    server: { ...config.server, port: options.port ?? 5180, host: '127.0.0.1' },
  });
  await server.listen();
  watchFolder(server, resolve(folder), () => readSource(folder));
  const [address] = server.resolvedUrls?.local ?? [];
  if (address === undefined) throw new Error('the page could not be served: no address was free');
  return { address, close: () => server.close() };
}

function watchFolder(server: ViteDevServer, folder: string, read: () => Promise<unknown>): void {
  let waiting: ReturnType<typeof setTimeout> | undefined;
  server.watcher.add(folder);
  server.watcher.on('all', (_event, path) => {
    if (!resolve(path).startsWith(folder)) return;
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      read().then(
        (source) => server.ws.send('tenosite:review', source),
        (error: unknown) =>
          server.config.logger.error(error instanceof Error ? error.message : String(error)),
      );
    }, settleMilliseconds);
  });
}
