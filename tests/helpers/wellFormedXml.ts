/**
 * Why a text is not well-formed XML, or undefined: tags in balance, attributes quoted and once each, no stray `<` or
 * `&`, no character XML 1.0 has no place for (W3C Extensible Markup Language 1.0, fifth edition, sections 2.2, 2.4, 3.1).
 */
export function xmlFault(text: string): string | undefined {
  const forbidden = /[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/u.exec(text);
  if (forbidden !== null) return `forbidden character at ${forbidden.index}`;
  const open: string[] = [];
  let roots = 0;
  const token =
    /<\?[\s\S]*?\?>|<!--[\s\S]*?-->|<(?<close>\/)?(?<name>[A-Za-z_][\w:.-]*)(?<attributes>(?:\s+[\w:.-]+\s*=\s*(?:"[^"<]*"|'[^'<]*'))*)\s*(?<empty>\/)?>|(?<text>[^<]+)|(?<stray><)/gu;
  for (const { groups, index } of text.matchAll(token)) {
    const { close, name, attributes = '', empty, text: words, stray } = groups ?? {};
    if (stray !== undefined) return `stray < at ${index}: ${text.slice(index, index + 60)}`;
    for (const part of [words ?? '', attributes])
      if (/&(?!(?:amp|lt|gt|quot|apos|#\d+|#x[\da-f]+);)/i.test(part)) return `stray & at ${index}`;
    if (words !== undefined && open.length === 0 && words.trim() !== '') return `text outside at ${index}`;
    if (name === undefined) continue;
    const keys = [...attributes.matchAll(/([\w:.-]+)\s*=/g)].map(([, key]) => key);
    if (close === undefined && new Set(keys).size < keys.length)
      return `attribute twice in <${name}> at ${index}`;
    if (close !== undefined) {
      const expected = open.pop();
      if (expected !== name) return `</${name}> at ${index} closes <${expected}>`;
    } else if (empty === undefined) open.push(name);
    if (open.length === (close === undefined && empty === undefined ? 1 : 0) && close === undefined)
      roots += 1;
  }
  if (open.length > 0) return `<${open.at(-1)}> is never closed`;
  return roots === 1 ? undefined : `${roots} roots`;
}
