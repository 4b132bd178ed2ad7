import { build, type Rollup } from 'vite';
import { viteSingleFile } from 'vite-plugin-singlefile';
import type { LiveSource } from '../live/page/liveFacts.ts';
import { withContentSecurity } from './contentSecurity.ts';
import { liveConfig } from './liveConfig.ts';

/** Largest size of the one file, in bytes. */
export const sizeBudget = 1_500_000;

/**
 * The live page of a review as one HTML file: script, style, typeface and data inside, nothing to load, ready to be
 * opened from disk or sent by e-mail.
 *
 * @throws when the file would be larger than {@link sizeBudget}
 */
export async function buildLive(source: LiveSource): Promise<string> {
  const built = await build({
    ...liveConfig(async () => source, [viteSingleFile({ removeViteModuleLoader: true })]),
    build: { write: false, reportCompressedSize: false, modulePreload: false },
  });
  const [{ output }] = [built].flat() as [Rollup.RollupOutput];
  const page = output.find(({ fileName }) => fileName.endsWith('.html'));
  if (page?.type !== 'asset' || output.length !== 1)
    throw new Error(
      `the page came in ${output.length} files: ${output.map(({ fileName }) => fileName).join(', ')}`,
    );
  const html = withContentSecurity(String(page.source));
  const size = Buffer.byteLength(html);
  if (size > sizeBudget)
    throw new Error(
      `the page would have ${size.toLocaleString('en-GB')} bytes, more than ${sizeBudget.toLocaleString('en-GB')}`,
    );
  return html;
}
