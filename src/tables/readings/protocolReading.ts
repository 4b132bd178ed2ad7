import type { Protocol } from '../../extraction/protocol.ts';
import { dateWords } from '../manuscript/words.ts';

/**
 * May a reader be told that the protocol's choices came before the results?
 *
 * Only where the protocol itself says when and where it was registered, and that day does not lie after the last search.
 *
 * @example
 * protocolReading(review.protocol)
 * // 'The protocol was registered on 3 March 2025 (Invented Register 25-17), before the results were seen.'
 */
export function protocolReading({ registered, lastSearch }: Protocol): string {
  if (registered === undefined)
    return 'The protocol does not say when and where it was registered, so whether its choices came before the results cannot be told here.';
  const said = `The protocol was registered on ${dateWords(registered.date)} (${registered.where})`;
  return registered.date > lastSearch
    ? `${said}, after the last search; whether its choices came before the results cannot be told here.`
    : `${said}, before the results were seen.`;
}
