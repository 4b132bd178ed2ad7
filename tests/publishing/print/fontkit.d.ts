// pdfkit's own font reader, which ships no types; used to look into what was embedded.
declare module 'fontkit' {
  export function create(data: Uint8Array): {
    readonly familyName: string;
    readonly characterSet: readonly number[];
  };
}
