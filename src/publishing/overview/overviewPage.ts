import { escape as escapeHtml } from 'html-escaper';
import { openDecisions } from '../../answers/openDecisions.ts';
import type { Review } from '../../extraction/review.ts';
import { notAComparison } from '../../pooling/poolBySite.ts';
import { table } from '../../tables/table.ts';
import { tableToHtml } from '../../tables/tableToHtml.ts';
import { counted } from '../../wording/words.ts';
import { pageFrame } from '../htmlPage.ts';
import type { NotebookRun } from '../notebookRun.ts';
import { clinicalCaution, factEntries, inventedDataWarning, type PageFacts } from '../pageFacts.ts';
import { pageMarkdown } from '../pageMarkdown.ts';
import { type Product, productsSection } from '../products.ts';
import type { FailedPage } from '../runNotebooks.ts';
import { slugMaker } from '../slug.ts';
import { entryLists } from './entryLists.ts';
import { evidenceCards } from './evidenceCards.ts';
import { type OutcomeAtSites, outcomesAtSites } from './outcomesAtSites.ts';
import { pageGroups, purposeOf } from './pageGroups.ts';
import { searchAge } from './searchAge.ts';

export interface OverviewParts {
  readonly facts: PageFacts;
  readonly review: Review;
  readonly runs: readonly NotebookRun[];
  readonly skipped: readonly { readonly name: string; readonly reason: string }[];
  /** Pages that could not be made. */
  readonly failures?: readonly FailedPage[];
  /** Products that stand beside the pages, made from the same sheets, and those made from others. */
  readonly products: readonly Product[];
  readonly staleProducts?: readonly Product[];
  /** The day the page is made, such as 2026-11-25. */
  readonly today: string;
  readonly style?: string;
}

/** The way in: what is here, for whom, what is known at a glance, what was left out, and where everything stands. */
export function overviewPage(parts: OverviewParts): string {
  const { facts, review, runs } = parts;
  const outcomes = outcomesAtSites(review);
  const sections: readonly (readonly [id: string, heading: string, html: string])[] = [
    ['start', 'Where to start', entryLists(titlesOf(runs))],
    ['glance', 'The evidence at a glance', glance(outcomes, runs)],
    ['left-out', 'What was left out', leftOut(outcomes, parts)],
    ['pages', 'All pages', allPages(runs, parts.failures)],
    [
      'made',
      'Also made from this review',
      productsSection(
        { current: parts.products, stale: parts.staleProducts ?? [] },
        fingerprintOf(facts),
        facts.folder,
      ),
    ],
    ['about', 'Where the numbers come from', about(parts)],
  ];
  const invented = facts.inventedData
    ? `<p class="invented" role="note"><strong>${escapeHtml(inventedDataWarning)}</strong></p>`
    : '';
  const { sentence } = openDecisions(review);
  const open =
    sentence === undefined
      ? ''
      : `\n<p class="caution" role="note"><strong>${escapeHtml(sentence)}</strong></p>`;
  const contents = sections.map(([id, heading]) => `<li><a href="#${id}">${heading}</a></li>`).join('');
  return pageFrame({
    title: facts.reviewTitle,
    style: parts.style,
    contents: `<nav aria-label="Contents"><p class="nav-title" id="contents">On this page</p><ol>${contents}</ol></nav>`,
    main: `${invented}<h1>${escapeHtml(facts.reviewTitle)}</h1>
<p>${escapeHtml(facts.question)}</p>
<p>${counted(review.studies.length, 'study', 'studies')} with ${counted(review.arms.length, 'arm')}. Last search: ${escapeHtml(searchAge(facts.lastSearch, parts.today))}</p>${open}
<p class="caution">${escapeHtml(clinicalCaution)}</p>
${sections.map(([id, heading, html]) => `<h2 id="${id}">${heading}</h2>\n${html}`).join('\n')}`,
  });
}

const fingerprintOf = ({ provenance }: PageFacts): { data: string; rules: string } => ({
  data: provenance?.data ?? '',
  rules: provenance?.rules ?? '',
});

/** Titles of the pages of a run by file name; the trace is always among them. */
const titlesOf = (runs: readonly NotebookRun[]): ReadonlyMap<string, string> =>
  new Map([
    ...runs.map(({ name, source }) => [name, source.title] as const),
    ['trace', 'From row to result'],
  ]);

function glance(outcomes: readonly OutcomeAtSites[], runs: readonly NotebookRun[]): string {
  if (outcomes.length === 0) return '<p>The protocol names no outcome that is counted as events.</p>';
  return `<p>Pooled rate per 100 shoulders at each site, with its interval and what it rests on. <strong>${escapeHtml(notAComparison)}</strong></p>
${evidenceCards(outcomes, runs)}`;
}

function leftOut(outcomes: readonly OutcomeAtSites[], { review, runs, skipped }: OverviewParts): string {
  const rows = outcomes.map(({ outcome, arms, leftOut: unused, pools }) => ({
    outcome: outcome.name,
    used: arms,
    outside: pools.outside.reduce((sum, each) => sum + each.arms.length, 0),
    unused,
  }));
  const counts = table({
    caption: 'Arms used and rows not used, by outcome',
    columns: [
      { key: 'outcome', heading: 'Outcome' },
      { key: 'used', heading: 'Arms used', align: 'right' },
      { key: 'outside', heading: 'of them outside the four sites', align: 'right' },
      { key: 'unused', heading: 'Rows of events.csv not used', align: 'right' },
    ],
    rows,
    notes: [
      'The page of an outcome gives each unused row with its reason; the trace gives every row of every sheet. What a paper does not report is never counted as zero.',
    ],
  });
  const pages = skipped.map(({ name, reason }) => `<li>${escapeHtml(name)}: ${escapeHtml(reason)}</li>`);
  const warnings = review.warnings.length;
  return `<div class="scroll" role="region" tabindex="0" aria-labelledby="left-out-table">${tableToHtml(counts, { id: 'left-out-table' })}</div>
${runs.length > 0 && pages.length > 0 ? `<p>Pages that had nothing to show for this review:</p><ul>${pages.join('')}</ul>` : ''}
<p>${warnings === 0 ? 'The check of the sheets has no warning.' : `The check of the sheets has ${warnings} warning${warnings === 1 ? '' : 's'}; <code>npm start -- --check</code> prints ${warnings === 1 ? 'it' : 'them'}.`}</p>`;
}

function allPages(runs: readonly NotebookRun[], failures: readonly FailedPage[] = []): string {
  const markdown = pageMarkdown(slugMaker());
  const entry = (run: NotebookRun): string => {
    const { name, source, outputs } = run;
    const file = escapeHtml(name);
    const links = outputs.flatMap(({ output }): readonly OutputLink[] => {
      if (output.kind === 'table')
        return [{ kind: 'table', anchor: `table-${output.name}`, title: output.table.caption }];
      if (output.kind === 'figure')
        return [{ kind: 'figure', anchor: `figure-${output.name}`, title: output.title }];
      return [];
    });
    const items = links.map(
      ({ anchor, title, kind }) =>
        `<li><a href="${file}.html#${escapeHtml(anchor)}">${escapeHtml(title)}</a> (${kind})</li>`,
    );
    const quiet = `<span class="quiet"> of ${escapeHtml(source.title)}</span>`;
    return `<li><a href="${file}.html">${escapeHtml(source.title)}</a>. ${markdown.renderInline(purposeOf(run))}
<details><summary>${count(links, 'figure')}, ${count(links, 'table')} to save${quiet}</summary><ul>${items.join('')}<li><a href="${file}.json">All results as JSON${quiet}</a></li></ul></details></li>`;
  };
  const failed = ({ title, message }: FailedPage): string =>
    `<li><strong>${escapeHtml(title)}. This page could not be made.</strong> ${escapeHtml(message)}</li>`;
  return pageGroups(runs, failures)
    .map(({ heading, runs: inGroup, failures: failedInGroup }) => {
      const items = [...inGroup.map(entry), ...failedInGroup.map(failed)];
      return `<h3>${escapeHtml(heading)}</h3><ul class="pages">${items.join('\n')}</ul>`;
    })
    .join('\n');
}

/** A table or figure on a page. */
interface OutputLink {
  readonly kind: 'table' | 'figure';
  readonly anchor: string;
  readonly title: string;
}

function count(links: readonly OutputLink[], kind: OutputLink['kind']): string {
  const number = links.filter((link) => link.kind === kind).length;
  return `${number} ${kind}${number === 1 ? '' : 's'}`;
}

function about({ facts }: OverviewParts): string {
  const entries = [
    ...factEntries(facts),
    ['Programs', `tenosite ${facts.tenositeVersion}, Node ${facts.nodeVersion}`] as const,
  ];
  const terms = entries.map(
    ([term, text]) => `<div><dt>${escapeHtml(term)}</dt><dd>${escapeHtml(text)}</dd></div>`,
  );
  return `<dl>${terms.join('\n')}</dl>
<p><a href="trace.html">From row to result</a>: every row of the sheets, and each number it feeds.</p>`;
}
