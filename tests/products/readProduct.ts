/** One text of a product, with the answer it names or without. */
export interface Said {
  /** The heading, caption or picture it stands under. */
  readonly where: string;
  readonly answer?: string;
  readonly text: string;
  /** A row of a table or a picture, or words within a text. */
  readonly kind?: 'row' | 'words';
  readonly inPicture?: boolean;
}

/** A product read back from its file. */
export interface ReadProduct {
  readonly product: string;
  readonly marked: readonly Said[];
  /** Values with an interval outside every mark. */
  readonly bare: readonly Said[];
}
