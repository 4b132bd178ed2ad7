/** The page's own document, where a figure is given none. It stands in for `figures/defaultDocument.ts` in the browser. */
export const defaultDocument = (): Document => document;
