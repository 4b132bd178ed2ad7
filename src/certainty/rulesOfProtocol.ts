import type { Protocol } from '../extraction/protocol.ts';
import type { CertaintyRuleOptions } from './certaintyRules.ts';
import type { QualityOptions } from './quality/concern.ts';

/** The rules a protocol wrote down for reading quality and for proposing levels; empty where it wrote none. */
export function rulesOfProtocol(protocol: Pick<Protocol, 'certainty'>): {
  readonly quality: QualityOptions;
  readonly rules: CertaintyRuleOptions;
} {
  const { minorsCuts, colemanCuts, newcastleOttawaForm, ...rules } = protocol.certainty ?? {};
  return {
    quality: given({ minorsCuts, colemanCuts, newcastleOttawaForm }),
    rules: given(rules),
  };
}

/** Without the keys that hold nothing, so that a default is not overwritten by undefined. */
const given = <Options extends object>(
  options: Options,
): { readonly [Key in keyof Options]?: Exclude<Options[Key], undefined> } =>
  Object.fromEntries(Object.entries(options).filter(([, value]) => value !== undefined)) as never;
