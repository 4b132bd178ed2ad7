import { z } from 'zod';
import { columnMeanings } from './columnMeaning.ts';
import { missingWords } from './missingText.ts';
import { protocolSchema } from './protocol.ts';
import { sheetNames, sheets } from './sheets/sheets.ts';

/**
 * What does every column and key of a review mean? The codebook as Markdown, made from the schemas
 * that read the files, so that the two cannot drift apart.
 */
export function codebook(): string {
  return `${[introduction(), ...sheetNames.map((name) => sheetSection(name)), protocolSection()].join('\n\n')}\n`;
}

function introduction(): string {
  const words = missingWords.filter((word) => word !== '').map((word) => `\`${word}\``);
  return `# Codebook

<!-- Made by data-extraction/makeCodebook.ts from the schemas; edit those instead. -->

A review is a folder with \`protocol.json\` and the sheets below. Copy \`data-extraction/template\` to start one.

- **Text**: UTF-8, with or without byte order mark. Cells are separated by commas, semicolons or tabs (found out by itself); quotes go around cells that hold a separator or a line break.
- **Headings**: any order; upper case, spaces, hyphens and brackets do not matter (\`Follow-up (months)\` is \`follow_up_months\`).
- **Comments**: a row whose first cell starts with \`#\` is skipped, and so are blank rows and columns.
- **Not reported**: leave the cell blank or write one of ${words.join(', ')}, in any case. Not reported is never read as zero; type \`0\` only when the paper says that there was none.
- **Numbers**: decimal point or comma, digits only, no thousands separator (\`1,083\` is refused because it can be read two ways), no unit.
- **Places**: problems are reported as \`file:line:column\`, where the column is the character at which the cell starts, as an editor counts.`;
}

/** Text inside a Markdown table cell. */
const inTable = (text: string): string => text.replaceAll('|', '\\|').replaceAll('\n', ' ');

function table(headings: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string => `| ${cells.map(inTable).join(' | ')} |`;
  return [line(headings), line(headings.map(() => '---')), ...rows.map(line)].join('\n');
}

function sheetSection(name: (typeof sheetNames)[number]): string {
  const { file, purpose, required, columns, key } = sheets[name];
  const rows = Object.entries(columns.shape as Readonly<Record<string, z.ZodType>>).map(
    ([heading, schema]) => {
      const column = columnMeanings.get(schema);
      if (column === undefined)
        throw new Error(`the column ${heading} of ${file} has no meaning in the codebook`);
      return [
        `\`${heading}\``,
        column.meaning,
        column.unit ?? '',
        column.allowed,
        column.heading,
        column.blank,
        column.example,
      ];
    },
  );
  const unique = key.map((heading) => `\`${heading}\``).join(', ');
  return `## ${file}

${purpose} The file is ${required ? 'required' : 'optional'}. No two rows may agree in ${unique}.

${table(['column', 'meaning', 'unit', 'allowed', 'heading', 'blank cell', 'example'], rows)}`;
}

function protocolSection(): string {
  return `## protocol.json

What the review decided, best before it sees results. Unknown keys are errors.

${table(['key', 'meaning', 'allowed', 'required'], protocolRows(protocolSchema, ''))}`;
}

function protocolRows(schema: z.ZodObject, path: string): readonly (readonly string[])[] {
  const shape = schema.shape as Readonly<Record<string, z.ZodType>>;
  return Object.entries(shape).flatMap(([key, field]) => {
    const optional = field instanceof z.ZodOptional;
    const inner = optional ? (field.unwrap() as z.ZodType) : field;
    const name = `${path}${key}`;
    const row = [
      `\`${name}\``,
      field.description ?? inner.description ?? '',
      allowedWords(inner),
      optional ? 'no' : 'yes',
    ];
    return [row, ...nestedRows(inner, name)];
  });
}

function nestedRows(schema: z.ZodType, name: string): readonly (readonly string[])[] {
  if (schema instanceof z.ZodObject) return protocolRows(schema, `${name}.`);
  if (!(schema instanceof z.ZodArray)) return [];
  const element = schema.element as z.ZodType;
  if (element instanceof z.ZodObject) return protocolRows(element, `${name}[].`);
  if (!(element instanceof z.ZodUnion)) return [];
  const seen = new Set<string>();
  return (element.options as readonly z.ZodObject[])
    .flatMap((option) => protocolRows(option, `${name}[].`))
    .filter(([key, meaning]) => {
      const row = `${key} ${meaning}`;
      const repeated = seen.has(row);
      seen.add(row);
      return !repeated;
    });
}

function allowedWords(schema: z.ZodType): string {
  if (schema instanceof z.ZodPipe) return allowedWords(schema.in as z.ZodType);
  if (schema instanceof z.ZodEnum) return schema.options.map((option) => `\`${option}\``).join(', ');
  if (schema instanceof z.ZodLiteral) return [...schema.values].map((value) => `\`${value}\``).join(', ');
  if (schema instanceof z.ZodBoolean) return '`true`, `false`';
  if (schema instanceof z.ZodArray) return `list of: ${allowedWords(schema.element as z.ZodType)}`;
  if (schema instanceof z.ZodObject) return 'object';
  if (schema instanceof z.ZodNumber) return numberWords(schema);
  if (schema instanceof z.ZodUnion) {
    return (schema.options as readonly z.ZodType[]).map((option) => allowedWords(option)).join(' or ');
  }
  return 'text';
}

function numberWords(schema: z.ZodNumber): string {
  const bounds = z.toJSONSchema(schema) as Readonly<Record<string, number | undefined>>;
  const words = [
    bounds.minimum === undefined ? '' : `at least ${bounds.minimum}`,
    bounds.exclusiveMinimum === undefined ? '' : `above ${bounds.exclusiveMinimum}`,
    bounds.maximum === undefined ? '' : `at most ${bounds.maximum}`,
    bounds.exclusiveMaximum === undefined ? '' : `below ${bounds.exclusiveMaximum}`,
  ].filter((word) => word !== '');
  return words.length === 0 ? 'number' : `number, ${words.join(', ')}`;
}
