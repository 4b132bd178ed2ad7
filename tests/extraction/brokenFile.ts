/** One slip in the small review, and every message it must give. */
export interface BrokenFile {
  readonly slip: string;
  readonly file: string;
  readonly from: string;
  readonly to: string;
  readonly messages: readonly string[];
}

export const broken = (
  slip: string,
  file: string,
  from: string,
  to: string,
  messages: readonly string[],
): BrokenFile => ({ slip, file, from, to, messages });
