import { parse } from 'csv-parse/sync';
import { parseHTML } from 'linkedom';
import type { AnswerRecord } from '../../src/answers/answersFile.ts';
import { headlinesIn } from './headline.ts';
import type { MadeProducts } from './makeProducts.ts';
import type { ReadProduct, Said } from './readProduct.ts';
import type { ReadSlide } from './readSlides.ts';
import { holds, holdsLimits, quotedOf, rowPrints } from './storedNumbers.ts';

/** Something that should not be. */
export interface Found {
  readonly product: string;
  readonly where: string;
  readonly text: string;
  readonly answer?: string;
  readonly problem?: string;
}

/** Does every mark name a known answer and print what it holds? */
export function checkMarks(
  { product, marked }: ReadProduct,
  answers: readonly AnswerRecord[],
): readonly Found[] {
  const known = new Map(answers.map((answer) => [answer.id, answer]));
  return marked.flatMap((said): Found[] => {
    const answer = known.get(said.answer ?? '');
    const problem = answer === undefined ? 'no such answer' : problemOf(answer, said, product);
    return problem === undefined ? [] : [{ product, ...said, problem }];
  });
}

function problemOf(
  answer: AnswerRecord,
  { text, kind, inPicture }: Said,
  product: string,
): string | undefined {
  const moreDecimals = inPicture === true || product.endsWith('.svg');
  const headlines = headlinesIn(text);
  if (answer.quoted === null)
    return headlines.length === 0 ? undefined : 'prints a number where the answer has none';
  if (kind === 'row')
    return rowPrints(answer, text, moreDecimals) ? undefined : `does not print ${printed(answer)}`;
  if (headlines.length > 0) {
    const other = headlines.find((each) => !holds(answer, each, { moreDecimals }));
    return other === undefined ? undefined : `${other.text} is not in the answer (${printed(answer)})`;
  }
  const limits = /(\S+(?: ?%)?(?: (?:fewer|more))?) to (\S+(?: (?:fewer|more))?)/.exec(
    text.replace(/[()]/g, ' '),
  );
  if (limits !== null)
    return holdsLimits(answer, { lower: limits[1]!, upper: limits[2]!.replace(/[,;.]$/, '') }, moreDecimals)
      ? undefined
      : `${limits[0]} are not limits of the answer (${printed(answer)})`;
  return undefined;
}

const printed = (answer: AnswerRecord): string => {
  const quoted = quotedOf(answer);
  return quoted === undefined
    ? 'no number'
    : `${quoted.rule(quoted.value)} (${quoted.rule(quoted.lower)} to ${quoted.rule(quoted.upper)})`;
};

/**
 * Markdown and Word against the page of the same document: Markdown has no place for an id, so that it must say the
 * headlines of the page and no others; what Word says without a bookmark must stand beside the answers on the page.
 */
export function checkMarkdown(made: MadeProducts, read: readonly ReadProduct[]): readonly Found[] {
  const found: Found[] = [];
  for (const page of ['evidence/index.html', 'manuscript/manuscript.html', 'changes.html']) {
    if (!made.files.includes(page)) continue;
    const folder = page.replace(/[^/]*$/, '');
    const own = made.files.filter(
      (path) => path.startsWith(folder) && (folder !== '' || path.startsWith('changes.')),
    );
    const { document } = parseHTML(made.text(page));
    const described = new Set(
      [...document.querySelectorAll('desc')].flatMap((each) => headlineTexts(each.textContent ?? '')),
    );
    for (const each of document.querySelectorAll('svg, script, style')) each.remove();
    const onPage = new Set(headlineTexts(blocks(document.body as unknown as Element)));
    for (const path of own.filter((each) => each.endsWith('.md'))) {
      const here = new Set(headlineTexts(plainMarkdown(made.text(path))));
      for (const text of here)
        if (!onPage.has(text) && !described.has(text))
          found.push({ product: path, where: page, text, problem: 'not on the page' });
      for (const text of onPage)
        if (!here.has(text)) found.push({ product: path, where: page, text, problem: 'on the page only' });
    }
    const beside = new Set(
      [...document.querySelectorAll('[data-beside]')].flatMap((each) =>
        headlineTexts(
          /^TD$/i.test(each.tagName) ? (each.textContent ?? '') : blocks(each as unknown as Element),
        ),
      ),
    );
    for (const word of read.filter(({ product }) => own.includes(product) && product.endsWith('.docx')))
      for (const { text } of word.bare)
        if (!beside.has(text) && !described.has(text))
          found.push({ product: word.product, where: page, text, problem: 'without a bookmark' });
  }
  return found;
}

const headlineTexts = (text: string): readonly string[] => headlinesIn(text).map((each) => each.text);
const blocks = (element: Element): string =>
  [...element.querySelectorAll('p, li, td, th, dd, dt, h1, h2, h3, h4, caption, figcaption')]
    .filter((each) => each.querySelector('p, li, td, dd') === null)
    .map((each) => (each.textContent ?? '').replace(/\s+/g, ' '))
    .join('\n');
const plainMarkdown = (text: string): string =>
  text
    .replace(/!\[[^\]]*\]\([^)]*\)/g, '')
    .replace(/\\([\\`*_{}[\]()#+\-.!|<>~&])/g, '$1')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&')
    .replace(/\|/g, '\n')
    .replace(/\*\*/g, '')
    .replace(/\u00a0/g, ' ');

/** Is each headline of a slide of an answer that its notes name? */
export function checkSlides(
  product: string,
  slides: readonly ReadSlide[],
  answers: readonly AnswerRecord[],
): readonly Found[] {
  const known = new Map(answers.map((answer) => [answer.id, answer]));
  return slides.flatMap(({ slide, texts, answers: named }): Found[] => {
    const unknown = named.filter((id) => !known.has(id));
    const own = named.flatMap((id) => known.get(id) ?? []);
    return [
      ...unknown.map((text) => ({ product, where: slide, text, problem: 'no such answer' })),
      ...texts
        .flatMap(headlinesIn)
        .filter((headline) => !own.some((answer) => holds(answer, headline, { turned: true })))
        .map(({ text }) => ({
          product,
          where: slide,
          text,
          problem: `of no answer named: ${named.join('; ')}`,
        })),
    ];
  });
}

const close = (a: unknown, b: number): boolean =>
  Number(a) === b || Math.abs(Number(a) - b) <= 1e-12 * Math.abs(b);

/** Downloads of a page as CSV: rows that name an answer hold its numbers in full. */
export function checkCsv(made: MadeProducts): readonly Found[] {
  const known = new Map(made.answers.map((answer) => [answer.id, answer]));
  const download = /<a download="([^"]*)" href='data:text\/csv;base64,([^']*)'/g;
  return made.files
    .filter((path) => path.endsWith('.html'))
    .flatMap((product) =>
      [...made.text(product).matchAll(download)].flatMap(([, name = '', data = '']): Found[] => {
        const text = Buffer.from(data, 'base64').toString('utf8');
        const rows: Record<string, string>[] = parse(text, {
          bom: true,
          columns: true,
          relax_column_count: true,
        });
        return rows.flatMap((row): Found[] => {
          const id = row.Answer ?? '';
          if (id === '') return [];
          const answer = known.get(id);
          const fail = (problem: string): Found[] => [
            { product, where: name, text: JSON.stringify(row).slice(0, 200), answer: id, problem },
          ];
          if (answer === undefined) return fail('no such answer');
          const numbers = [row.rate ?? row.per_100, row.interval_lower, row.interval_upper];
          if (answer.question.kind !== 'rate' || numbers.some((each) => each === undefined || each === ''))
            return [];
          const { quoted } = answer;
          if (quoted === null) return fail('a number where the answer has none');
          const by = row.rate === undefined ? 1 : 100;
          const same = [quoted.value, quoted.lower, quoted.upper].every((each, at) =>
            close(by * Number(numbers[at]), each),
          );
          return same ? [] : fail(`not ${quoted.value} (${quoted.lower} to ${quoted.upper})`);
        });
      }),
    );
}

/** Wherever a JSON file names an answer beside a number, the number is the stored one. */
export function checkJson(made: MadeProducts): readonly Found[] {
  const known = new Map(made.answers.map((answer) => [answer.id, answer]));
  const found: Found[] = [];
  for (const product of made.files.filter(
    (path) => /\.json$/.test(path) && !/^(?:answers|trace|written)|^\./.test(path),
  )) {
    const walk = (value: unknown, where: string): void => {
      if (typeof value !== 'object' || value === null) return;
      if (Array.isArray(value)) {
        for (const [at, each] of value.entries()) walk(each, `${where}.${at}`);
        return;
      }
      const holder = value as Record<string, unknown>;
      const id = [holder.answer, holder.id, holder.key].find(
        (each) => typeof each === 'string' && known.has(each),
      );
      const answer = typeof id === 'string' ? known.get(id) : undefined;
      const numbers = answer === undefined ? undefined : numbersOf(holder);
      if (answer !== undefined && numbers !== undefined && !/\.before|\.saved/.test(where)) {
        const stored = answer.quoted;
        if (
          stored === null ||
          !close(numbers.value, stored.value) ||
          !close(numbers.lower, stored.lower) ||
          !close(numbers.upper, stored.upper)
        )
          found.push({
            product,
            where,
            text: JSON.stringify(numbers),
            answer: answer.id,
            problem: `not ${printed(answer)}`,
          });
      }
      for (const [key, each] of Object.entries(holder)) walk(each, `${where}.${key}`);
    };
    walk(JSON.parse(made.text(product)), '');
  }
  return found;
}

/** The number a record holds in 100 or in points: an answer's own, a pooled rate's, or one told in the change report. */
function numbersOf(
  holder: Record<string, unknown>,
): { value: number; lower: number; upper: number } | undefined {
  const quoted = holder.quoted as { value: number; lower: number; upper: number } | null | undefined;
  if (quoted != null) return quoted;
  const pool = holder.pool as
    | { headline?: { rate: number; interval: { lower: number; upper: number } } }
    | undefined;
  if (pool?.headline !== undefined) {
    const { rate, interval } = pool.headline;
    return { value: 100 * rate, lower: 100 * interval.lower, upper: 100 * interval.upper };
  }
  if (
    typeof holder.value === 'number' &&
    typeof holder.lower === 'number' &&
    typeof holder.upper === 'number'
  )
    return { value: holder.value, lower: holder.lower, upper: holder.upper };
  return undefined;
}

/** One line an outcome and site, as npm start prints them at its end. */
export function checkSummary({ said, answers }: MadeProducts): readonly Found[] {
  const rates = answers.filter(({ question }) => question.kind === 'rate');
  const found: Found[] = [];
  let outcome = '';
  let seen = 0;
  for (const line of said.split('\n')) {
    if (rates.some((answer) => answer.outcome === line)) outcome = line;
    const row = /^ {2}(\S.{0,13}?) {2,}(.*)$/.exec(line);
    const answer = rates.find((each) => each.outcome === outcome && each.name === row?.[1]);
    if (row === null || answer === undefined) continue;
    seen += 1;
    const text = row[2]!;
    const none = /^(?:no arm|no study|cannot be pooled)/.test(text);
    if (answer.quoted === null ? !none : !rowPrints(answer, text.split(/; next study|\), /)[0]!, false))
      found.push({
        product: 'npm start',
        where: outcome,
        text: line,
        answer: answer.id,
        problem: printed(answer),
      });
  }
  if (seen !== rates.length)
    found.push({
      product: 'npm start',
      where: '',
      text: said.slice(-2000),
      problem: `${seen} of ${rates.length} rates`,
    });
  return found;
}
