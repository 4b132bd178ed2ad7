import { escape as escapeHtml } from 'html-escaper';
import type { AnswerCertainty } from '../../answers/answer.ts';
import { levelHeading, noRangeNote, rateCells, ratesBySiteTable } from '../../tables/ratesBySiteTable.ts';
import { table } from '../../tables/table.ts';
import { tableToHtml } from '../../tables/tableToHtml.ts';
import type { NotebookRun } from '../notebookRun.ts';
import { slug } from '../slug.ts';
import type { OutcomeAtSites } from './outcomesAtSites.ts';

/** The page that is about an outcome: of its name, or one that selected its events. */
function pageAbout(id: string, runs: readonly NotebookRun[]): NotebookRun | undefined {
  const selected = (run: NotebookRun): boolean =>
    run.outputs.some(
      ({ output }) =>
        output.kind === 'result' &&
        (output.value as { readonly outcome?: { readonly id?: unknown } }).outcome?.id === id,
    );
  return (
    runs.find(({ name }) => name === id) ??
    runs.find(selected) ??
    runs.find(({ name }) => name === 'overview-by-site')
  );
}

/** A level, with a star while people have not confirmed it. */
function sureText({ level, confirmed }: AnswerCertainty): string {
  if (level === undefined) return 'cannot tell';
  return confirmed ? level : `${level}*`;
}

const proposed = '* Proposed from the data: nobody has decided on it yet.';

/** One small table for each outcome: rate per 100 with its interval at each site, and what it rests on. */
export function evidenceCards(outcomes: readonly OutcomeAtSites[], runs: readonly NotebookRun[]): string {
  const cards = outcomes.map(({ outcome, pools, rates }) => {
    const level = levelHeading(pools.sites[0]?.pool.options.level ?? 0.95);
    const notes = ratesBySiteTable(pools).notes.filter(
      (note) => note !== pools.notAComparison && note !== noRangeNote,
    );
    const id = `glance-${slug(outcome.id)}`;
    const shown = pools.sites.flatMap((site) => {
      const answer = rates.find(({ id }) => id === site.answer);
      return answer === undefined ? [] : [{ ...site, certainty: answer.certainty }];
    });
    const rows = shown.map(({ name, pool, certainty }) => {
      const { rate, interval, studies, shoulders } = rateCells(pool);
      return { site: name, rate, interval, studies, shoulders, sure: sureText(certainty) };
    });
    const card = table({
      caption: outcome.name,
      columns: [
        { key: 'site', heading: 'Site' },
        { key: 'rate', heading: 'Per 100', align: 'right' },
        { key: 'interval', heading: `${level} interval`, align: 'right' },
        { key: 'sure', heading: 'How sure' },
        { key: 'studies', heading: 'Studies', align: 'right' },
        { key: 'shoulders', heading: 'Shoulders', align: 'right' },
      ],
      rows,
      answers: shown.map(({ answer }) => answer),
      notes: [...notes, ...(rows.some(({ sure }) => sure.endsWith('*')) ? [proposed] : [])],
    });
    const about = pageAbout(outcome.id, runs);
    const link =
      about === undefined
        ? ''
        : `<p class="note"><a href="${escapeHtml(about.name)}.html">${escapeHtml(about.source.title)}<span class="quiet">, for ${escapeHtml(outcome.name)}</span></a></p>`;
    return `<div class="card"><div class="scroll" role="region" tabindex="0" aria-labelledby="${id}">${tableToHtml(card, { id })}</div>${link}</div>`;
  });
  return `<div class="cards">${cards.join('\n')}</div>`;
}
