import { writePart } from './parts.ts';
import { type Piece, simulatePiece } from './sets.ts';

/** One piece of a calibration, as text: whole numbers that add up. */
export default (piece: Piece): string => writePart(simulatePiece(piece));
