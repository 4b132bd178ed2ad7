import { nearestName } from '../../extraction/nearestName.ts';
import { scaleRegistry } from './scaleRegistry.ts';
import type { ScoreScale } from './scoreScale.ts';

/**
 * Which scale goes by this id?
 *
 * Case and spaces do not matter; aliases are found. Scales of the caller (from a protocol, say) come first.
 *
 * @throws RangeError for an unknown id, naming the nearest and all known ones.
 * @example
 * findScale('SSV').id // 'sane'
 */
export function findScale(id: string, own: readonly ScoreScale[] = []): ScoreScale {
  const found = lookUpScale(id, own);
  if (found !== undefined) return found;
  const known = [...new Set([...own, ...scaleRegistry].map((scale) => scale.id))];
  const nearest = nearestName(id, known);
  const hint = nearest === undefined ? '' : ` Did you mean "${nearest}"?`;
  throw new RangeError(`unknown scale "${id}".${hint} Known: ${known.join(', ')}`);
}

/** The same without throwing: undefined for an unknown id. */
export function lookUpScale(id: string, own: readonly ScoreScale[] = []): ScoreScale | undefined {
  const wanted = plainId(id);
  return [...own, ...scaleRegistry].find((scale) =>
    [scale.id, ...scale.aliases].some((name) => plainId(name) === wanted),
  );
}

const plainId = (id: string): string =>
  id
    .trim()
    .toLowerCase()
    .replaceAll(/[\s_]+/g, '-');
