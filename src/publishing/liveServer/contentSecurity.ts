import { createHash } from 'node:crypto';

const hashOf = (text: string): string => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** The scripts of a page that run: those that are data do not. */
const runningScripts = /<script(?<attributes>[^>]*)>(?<code>[\s\S]*?)<\/script>/g;

/**
 * The page with a rule that lets it run its own script and load nothing: no request can leave it, and a script that
 * came in with a study's name would not run.
 *
 * @throws when the page has no script, or one that stands outside it
 */
export function withContentSecurity(html: string): string {
  const hashes: string[] = [];
  for (const { groups } of html.matchAll(runningScripts)) {
    const { attributes = '', code = '' } = groups ?? {};
    if (/type="application\/json"/.test(attributes)) continue;
    if (/\ssrc=/.test(attributes)) throw new Error('the page loads a script from outside');
    hashes.push(hashOf(code));
  }
  if (hashes.length === 0) throw new Error('the page has no script');
  const rule = [
    "default-src 'none'",
    `script-src ${hashes.join(' ')}`,
    "style-src 'unsafe-inline'",
    'img-src data: blob:',
    'font-src data:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
  const at = html.indexOf('<meta charset');
  return `${html.slice(0, at)}<meta http-equiv="Content-Security-Policy" content="${rule}">${html.slice(at)}`;
}
