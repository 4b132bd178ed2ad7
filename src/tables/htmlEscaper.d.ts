// html-escaper ships no types.
declare module 'html-escaper' {
  export function escape(text: string): string;
}
