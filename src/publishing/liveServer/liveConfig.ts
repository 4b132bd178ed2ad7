import { createHash } from 'node:crypto';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { InlineConfig, Plugin, PluginOption } from 'vite';
import { pageColourCss } from '../../figures/pageColours.ts';
import type { LiveSource } from '../live/page/liveFacts.ts';
import { scriptSafeJson } from './readSource.ts';
import { typefaceCss } from './typefaceCss.ts';

/** Where the page stands: its index.html and everything it imports of its own. */
export const liveFolder = fileURLToPath(new URL('../live', import.meta.url));
const projectFolder = fileURLToPath(new URL('../../..', import.meta.url));

/** What serving and building the page have in common. */
export function liveConfig(
  source: () => Promise<LiveSource>,
  plugins: readonly PluginOption[],
): InlineConfig {
  return {
    root: liveFolder,
    configFile: false,
    envDir: false,
    logLevel: 'warn',
    // Outside the project, by its place, so that two copies of it do not share one.
    cacheDir: join(
      tmpdir(),
      `tenosite-live-${createHash('sha256').update(projectFolder).digest('hex').slice(0, 12)}`,
    ),
    plugins: [browserDocument, putIntoPage(source), ...plugins],
    server: {
      fs: { allow: [projectFolder, fileURLToPath(new URL('../../../node_modules', import.meta.url))] },
    },
  };
}

/** In a browser figures are drawn in the page's own document; the one made in memory stays out of the page. */
const browserDocument: Plugin = {
  name: 'tenosite-browser-document',
  enforce: 'pre',
  resolveId: (id, importer) =>
    importer !== undefined && /(?:^|\/)defaultDocument\.ts$/.test(id)
      ? join(liveFolder, 'browserDocument.ts')
      : undefined,
};

/** Style that comes from code (typeface, colours) and the review's files, put into index.html. */
const putIntoPage = (source: () => Promise<LiveSource>): Plugin => ({
  name: 'tenosite-put-into-page',
  transformIndexHtml: async () => [
    { tag: 'style', attrs: { id: 'typeface' }, children: await typefaceCss(), injectTo: 'head-prepend' },
    { tag: 'style', children: pageColourCss(), injectTo: 'head-prepend' },
    {
      tag: 'script',
      attrs: { type: 'application/json', id: 'review-files' },
      children: scriptSafeJson(await source()),
      injectTo: 'head',
    },
  ],
});
