// The package's own single file: the same code in 180 fewer files to load.
import { parseHTML } from 'linkedom/worker';

/** A blank document to draw in where none is given. A browser passes its own and never calls this. */
export const defaultDocument = (): Document =>
  parseHTML('<!doctype html><html><body></body></html>').document as unknown as Document;
