import type { ReviewFingerprint } from './fingerprint.ts';

/** Which program made a result. */
export interface SoftwareVersion {
  /** Version of this package. */
  readonly tenosite: string;
  /** Revision of its source, where it is known, with `+changes` when files differ from it. */
  readonly revision?: string;
}

/** What a saved result followed from: data, rules and software. */
export interface Provenance extends ReviewFingerprint {
  readonly software: SoftwareVersion;
}

/** Digits of a hash that people are shown: enough to tell versions of one review apart. */
const shownDigits = 12;

/** The hashes short enough to print: `data 3f9a0c1d22ab, rules 77b1e0aa91c3`. */
export function provenanceText({ data, rules }: Pick<Provenance, 'data' | 'rules'>): string {
  return `data ${data.slice(0, shownDigits)}, rules ${rules.slice(0, shownDigits)}`;
}
