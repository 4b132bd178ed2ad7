/** Stands wherever a number leaves the project. */
export const clinicalCaution = 'Supports and does not replace licensed judgement and local guidance.';
