/**
 * Names of the trade for one and the same finding: however a paper words it, it is the same definition. Common usage,
 * collected by us; a review adds its own in protocol.json. What differs in what was looked for (tenderness and pain,
 * revision and any reoperation) stays apart.
 */
export const tradeSynonyms: readonly (readonly string[])[] = [
  [
    'Popeye deformity',
    'Popeye sign',
    "Popeye's sign",
    'positive Popeye sign',
    'Popeye',
    'Popeye muscle',
    'Popeye muscle sign',
    'Popeye muscle deformity',
    'Popeye bulge',
    'Popeye phenomenon',
  ],
  [
    'groove tenderness',
    'bicipital groove tenderness',
    'tenderness over the groove',
    'tenderness over the bicipital groove',
    'tenderness in the bicipital groove',
    'tenderness of the bicipital groove',
    'tenderness at the bicipital groove',
  ],
  [
    'groove pain',
    'bicipital groove pain',
    'pain over the groove',
    'pain over the bicipital groove',
    'pain in the bicipital groove',
    'pain at the bicipital groove',
  ],
  ['cramping', 'cramps', 'muscle cramps', 'biceps cramping', 'biceps cramps', 'cramping of the biceps'],
  ['revision', 'revision surgery', 'surgical revision', 'revision operation'],
  ['reoperation', 're-operation', 'repeat operation'],
  ['stiffness', 'shoulder stiffness', 'postoperative stiffness', 'post-operative stiffness'],
];

const plain = (words: string): string => words.trim().replace(/\s+/g, ' ').toLowerCase();

const groupOf = new Map(
  tradeSynonyms.flatMap((group, at) => group.map((name) => [plain(name), at] as const)),
);

/** The names of one accepted definition, the first of them the one it is printed under. */
export const namesOfDefinition = (accepted: string): readonly string[] =>
  accepted.split('|').map((name) => name.trim());

/** An accepted definition as a sentence has it: "Popeye deformity or visible bulge". */
export const definitionText = (accepted: string): string => namesOfDefinition(accepted).join(' or ');

/**
 * Do these words name this accepted definition? Upper case and spaces do not matter; beyond that only the synonyms of the
 * definition itself, parted by `|`, and {@link tradeSynonyms} count.
 *
 * @example
 * sameDefinition('Popeye deformity', 'popeye sign') // true
 */
export function sameDefinition(accepted: string, words: string): boolean {
  const asked = plain(words);
  const group = groupOf.get(asked);
  return namesOfDefinition(accepted).some((name) => {
    const own = plain(name);
    return own === asked || (group !== undefined && groupOf.get(own) === group);
  });
}

/** Place of the first accepted definition that words name; -1 for none. Synonyms of one definition so share its rank. */
export const rankOfDefinition = (words: string, accepted: readonly string[]): number =>
  accepted.findIndex((each) => sameDefinition(each, words));
