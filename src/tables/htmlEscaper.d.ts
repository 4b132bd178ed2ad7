// html-escaper ships no types.
declare module 'html-escaper' {
  const escapeHtml: (text: string) => string;

  export { escapeHtml as escape, escapeHtml as unescape };
}
