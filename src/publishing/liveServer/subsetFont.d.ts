declare module 'subset-font' {
  /** Cuts a font down to the characters of a text. */
  export default function subsetFont(
    font: Buffer,
    text: string,
    options?: {
      readonly targetFormat?: 'truetype' | 'woff' | 'woff2';
      readonly keepFeatures?: readonly string[];
      readonly noHinting?: boolean;
    },
  ): Promise<Buffer>;
}
