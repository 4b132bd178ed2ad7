/**
 * Text as an XML 1.0 file may hold it: control characters and halves of surrogate pairs, which would make Word
 * refuse the whole document, are left out, and so are the invisible signs that turn the direction of writing, which
 * could make 12 read as 21. The library that writes the file does the escaping.
 */
export function wordText(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to leave out.
  const allowed = text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '');
  return allowed.replace(/\p{Cs}/gu, '').replace(/[\u202a-\u202e\u2066-\u2069\uE000-\uE002]/g, '');
}
