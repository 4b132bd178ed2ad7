// The overview page of a run: its numbers are the notebooks' numbers, its links lead somewhere.
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseHTML } from 'linkedom';
import { afterAll, describe, expect, it } from 'vitest';
import { answersOf } from '../../src/answers/answersOf.ts';
import type { CertaintyLevel } from '../../src/certainty/certaintyRating.ts';
import { selectEvents } from '../../src/extraction/selectEvents.ts';
import type { PooledSite } from '../../src/extraction/site.ts';
import { factsOfReview } from '../../src/publishing/factsOfReview.ts';
import { findNotebooks } from '../../src/publishing/findNotebooks.ts';
import { htmlPage } from '../../src/publishing/htmlPage.ts';
import { jsonPage } from '../../src/publishing/jsonPage.ts';
import { openReview } from '../../src/publishing/openReview.ts';
import { evidenceCards } from '../../src/publishing/overview/evidenceCards.ts';
import { outcomesAtSites } from '../../src/publishing/overview/outcomesAtSites.ts';
import { overviewPage } from '../../src/publishing/overview/overviewPage.ts';
import { purposeOf } from '../../src/publishing/overview/pageGroups.ts';
import { searchAge } from '../../src/publishing/overview/searchAge.ts';
import { currentProducts, recordProduct, staleProducts } from '../../src/publishing/products.ts';
import { runNotebooks } from '../../src/publishing/runNotebooks.ts';
import { replaceFolder } from '../../src/publishing/writeFiles.ts';
import { percentDigits, percentLimits } from '../../src/tables/rateText.ts';
import { projectRoot } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-overview-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const out = join(root, 'out');
const page = (name: string): Document =>
  parseHTML(readFileSync(join(out, name), 'utf8')).document as unknown as Document;
const shown = ['overview-by-site', 'cosmetic-deformity', 'groove-pain', 'claim-check'];
const { review, fingerprint } = await openReview('data-extraction/demo');
if (review === undefined) throw new Error('the demo cannot be read');
const facts = factsOfReview(review, 'data-extraction/demo', fingerprint);
const { runs } = await runNotebooks(
  findNotebooks(join(projectRoot, 'notebooks')).filter(({ name }) => shown.includes(name)),
  review,
  facts,
);
const writePages = (): void => {
  replaceFolder(out, [
    ...runs.flatMap((run) => [
      { path: `${run.name}.html`, content: htmlPage(run, new Map()) },
      { path: `${run.name}.json`, content: jsonPage(run) },
    ]),
    { path: 'trace.html', content: '' },
    {
      path: 'index.html',
      content: overviewPage({
        facts,
        review,
        runs,
        skipped: [{ name: 'scores', reason: 'no score <b>' }],
        products: currentProducts(out, fingerprint),
        staleProducts: staleProducts(out, fingerprint),
        today: '2026-11-25',
      }),
    },
  ]);
};
writePages();

describe('the evidence at a glance', () => {
  it('is what the page on all outcomes has in its JSON, cell by cell', () => {
    const json = JSON.parse(readFileSync(join(out, 'overview-by-site.json'), 'utf8'));
    const cards = [...page('index.html').querySelectorAll('.card table')];
    expect(json.results.outcomes.length).toBeGreaterThan(4);
    expect(cards).toHaveLength(json.results.outcomes.length);
    const sure = answersOf(review);
    for (const [index, { name, pools }] of json.results.outcomes.entries()) {
      const card = cards[index]!;
      const outcome = review.protocol.outcomes.find((each) => each.name === name)!.id;
      expect(card.querySelector('caption')?.textContent).toBe(name);
      const rows = [...card.querySelectorAll('tbody tr')].map((row) =>
        [...row.children].map((cell) => cell.textContent),
      );
      expect(rows).toEqual(
        pools.sites.map(({ site: at, name: site, pool }: { site: PooledSite; name: string; pool: Pool }) => {
          const { headline } = pool;
          const { level, confirmed } = sure.to({ kind: 'rate', outcome, site: at }).certainty;
          const counts = [
            level === undefined ? 'cannot tell' : `${level}${confirmed ? '' : '*'}`,
            String(pool.studies),
            String(pool.shoulders),
          ];
          if (headline === undefined)
            return [site, pool.studies === 0 ? 'no study' : 'not pooled', '', ...counts];
          const rate =
            headline.basis === 'exact'
              ? headline.rate === 0
                ? 'none seen'
                : 'all'
              : percentDigits(headline.rate);
          return [site, rate, percentLimits(headline.interval), ...counts];
        }),
      );
    }
  });
});

interface Pool {
  readonly studies: number;
  readonly shoulders: number;
  readonly headline?: {
    readonly basis: string;
    readonly rate: number;
    readonly interval: { readonly lower: number; readonly upper: number; readonly level: number };
  };
}

describe('how sure', () => {
  const outcomes = outcomesAtSites(review);
  /** Cells under "How sure" of every card, in the order of outcomes and sites. */
  const said = (given: typeof outcomes): readonly (string | null)[] => {
    const { document } = parseHTML(evidenceCards(given, []));
    return [...document.querySelectorAll('tbody tr')].map((row) => row.children[3]!.textContent);
  };
  const withCertainty = (level: CertaintyLevel | undefined, confirmed: boolean): typeof outcomes =>
    outcomes.map((each) => ({
      ...each,
      rates: each.rates.map((rate) => ({ ...rate, certainty: { ...rate.certainty, level, confirmed } })),
    }));

  it('is the certainty of the answer to each rate, with a star while nobody has confirmed it', () => {
    const answers = answersOf(review);
    const rates = answers.all().filter(({ question }) => question.kind === 'rate');
    expect(said(outcomes)).toEqual(
      rates.map(({ certainty: { level, confirmed } }) =>
        level === undefined ? 'cannot tell' : confirmed ? level : `${level}*`,
      ),
    );
    expect(new Set(said(outcomes)).size).toBeGreaterThan(2);
  });

  it('stars what is only proposed, says so below, and is silent where people have decided', () => {
    expect(new Set(said(withCertainty('low', false)))).toEqual(new Set(['low*']));
    expect(evidenceCards(withCertainty('low', false), [])).toContain('nobody has decided');
    expect(new Set(said(withCertainty('low', true)))).toEqual(new Set(['low']));
    expect(evidenceCards(withCertainty('low', true), [])).not.toContain('nobody has decided');
    expect(new Set(said(withCertainty(undefined, false)))).toEqual(new Set(['cannot tell']));
    expect(evidenceCards(withCertainty(undefined, false), [])).not.toContain('nobody has decided');
  });

  it('stands on the row that carries the id of the answer', () => {
    const { document } = parseHTML(evidenceCards(outcomes, []));
    const ids = [...document.querySelectorAll('tbody tr')].map((row) => row.getAttribute('data-answer'));
    expect(ids).toEqual(outcomes.flatMap(({ rates }) => rates.map(({ id }) => id)));
  });
});

describe('the way on', () => {
  it('every link leads to a file of this run, every anchor to its place', () => {
    const anchors = new Map<string, ReadonlySet<string>>();
    const idsOf = (file: string): ReadonlySet<string> => {
      const known = anchors.get(file);
      if (known !== undefined) return known;
      const html = readFileSync(join(out, file), 'utf8');
      const ids = new Set([...html.matchAll(/ id="([^"]+)"/g)].map((match) => match[1]!));
      anchors.set(file, ids);
      return ids;
    };
    const links = [...page('index.html').querySelectorAll('a[href]')].map(
      (link) => link.getAttribute('href') ?? '',
    );
    expect(links.length).toBeGreaterThan(40);
    for (const link of links) {
      const [file = '', anchor] = link.split('#');
      const target = file === '' ? 'index.html' : file;
      expect(existsSync(join(out, target)), link).toBe(true);
      if (anchor !== undefined) expect(idsOf(target).has(anchor), link).toBe(true);
    }
  });

  it('names every page once under a heading, with what it is for', () => {
    const listed = [...page('index.html').querySelectorAll('.pages > li')];
    expect(listed).toHaveLength(shown.length);
    for (const entry of listed) expect((entry.textContent ?? '').length).toBeGreaterThan(60);
    expect(
      purposeOf({
        source: { title: 'T', cells: [{ kind: 'markdown', text: '# T\n\nFirst\nlines.\n\nMore.' }] },
      } as never),
    ).toBe('First lines.');
  });

  it('counts what was left out as the selection does', () => {
    const rows = [
      ...(page('index.html')
        .querySelector('#left-out-table')
        ?.closest('table')
        ?.querySelectorAll('tbody tr') ?? []),
    ];
    const events = review.protocol.outcomes.filter(({ kind }) => kind === 'events');
    expect(rows).toHaveLength(events.length);
    for (const [index, outcome] of events.entries()) {
      const { arms, leftOut } = selectEvents(review, outcome.id);
      const cells = [...rows[index]!.children].map((cell) => cell.textContent);
      expect([cells[0], cells[1], cells[3]]).toEqual([
        outcome.name,
        String(arms.length),
        String(leftOut.length),
      ]);
    }
  });
});

describe('the age of a search', () => {
  it.each([
    ['2026-06-30', '2026-06-30', '30 June 2026, less than a month before this page was made.'],
    ['2026-06-30', '2026-07-29', '30 June 2026, less than a month before this page was made.'],
    ['2026-06-30', '2026-07-30', '30 June 2026, 1 month before this page was made.'],
    ['2025-11-26', '2026-11-25', '26 November 2025, 11 months before this page was made.'],
    [
      '2025-11-25',
      '2026-11-25',
      '25 November 2025, 12 months before this page was made. Studies published since are not in it.',
    ],
    [
      '2023-01-31',
      '2026-11-25',
      '31 January 2023, 3 years before this page was made. Studies published since are not in it.',
    ],
    [
      '2027-01-01',
      '2026-11-25',
      '1 January 2027, which is after the day this page was made: check protocol.json.',
    ],
  ])('searched %s, made %s', (searched, today, said) => {
    expect(searchAge(searched, today)).toBe(said);
  });
});

describe('products beside the pages', () => {
  const { rules } = fingerprint;
  const said = () => page('index.html').querySelector('#made')?.nextElementSibling?.textContent ?? '';

  it('not made yet: the command; made from these sheets: a link, at once and after the next run; from others: kept and said', () => {
    expect(said()).toContain('Not made yet: npm run figures -- data-extraction/demo');
    mkdirSync(join(out, 'figures'));
    writeFileSync(join(out, 'figures', 'index.html'), 'figures');
    expect(currentProducts(out, fingerprint)).toEqual([]);
    recordProduct(out, 'figures', { data: 'of other sheets', rules });
    expect(said()).toContain('Not made yet: npm run figures');
    writePages();
    expect(said()).toContain('figures/index.html was made from other sheets or rules');
    recordProduct(out, 'figures', fingerprint);
    expect(said()).not.toContain('Not made yet: npm run figures');
    expect(said()).toContain('Not made yet: npm run talk -- data-extraction/demo');
    expect(page('index.html').querySelector('a[href="figures/index.html"]')).not.toBeNull();
    writeFileSync(join(out, 'talk.pptx'), 'slides of other sheets');
    writePages();
    expect(readFileSync(join(out, 'figures', 'index.html'), 'utf8')).toBe('figures');
    expect(page('index.html').querySelector('a[href="figures/index.html"]')).not.toBeNull();
    expect(readFileSync(join(out, 'talk.pptx'), 'utf8')).toBe('slides of other sheets');
    expect(said()).toContain('talk.pptx was made from other sheets or rules, or by another version');
    expect(page('index.html').querySelector('a[href="talk.pptx"]')).toBeNull();
  });

  it('a folder without pages of ours is left as it is', () => {
    const others = join(root, 'others');
    mkdirSync(others);
    recordProduct(others, 'figures', { data: 'a', rules: 'b' });
    expect(existsSync(join(others, '.tenosite-products'))).toBe(false);
  });
});
