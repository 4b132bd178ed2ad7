declare module 'subset-font' {
  /** Cuts a font down to the characters of a text. */
  export default function subsetFont(
    font: Buffer,
    text: string,
    options?: {
      readonly targetFormat?: 'truetype' | 'woff' | 'woff2';
      readonly keepFeatures?: readonly string[];
      readonly noHinting?: boolean;
      /** Name records to keep besides the usual ones, by their number in the table of names. */
      readonly preserveNameIds?: readonly number[];
    },
  ): Promise<Buffer>;
}
