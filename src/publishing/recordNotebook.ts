import type { Review } from '../extraction/review.ts';
import { reviewRows } from '../extraction/trace/reviewRows.ts';
import { rowKey, traceOf } from '../extraction/trace/traceOf.ts';
import { callLine, wholeStack } from './callSite.ts';
import { jsonSafe } from './jsonSafe.ts';
import { ClaimFailed, type Notebook, NotebookSkipped } from './notebook.ts';
import type { NotebookOutput, NotebookRun } from './notebookRun.ts';
import { cellAtLine, type NotebookSource } from './notebookSource.ts';
import { inventedDataNotice, type PageFacts, showsInventedData } from './pageFacts.ts';
import { type Prose, prose } from './prose.ts';
import { slug } from './slug.ts';

/** What a notebook is run with. */
export interface NotebookSetting {
  readonly name: string;
  readonly url: string;
  readonly source: NotebookSource;
  readonly review: Review;
  readonly facts: PageFacts;
  /** Called with each output as it is made, for showing it on a console. */
  readonly onOutput?: (output: NotebookOutput) => void;
}

/** A notebook to hand to the script, and the run it leaves behind. */
export interface NotebookRecording {
  readonly notebook: Notebook;
  readonly run: () => NotebookRun;
}

/** Collects what a notebook shows, each output under the cell whose line led to it. */
export function recordNotebook(setting: NotebookSetting): NotebookRecording {
  const outputs: { cell: number; output: NotebookOutput }[] = [];
  const shown = new Set<string>();
  const recorded = new Set<string>();
  const methods = new Set<string>();
  const departures = new Set<string>();
  const sensitivityAnalyses = new Set<string>();

  const add = (output: NotebookOutput): void => {
    const line = callLine(setting.url, wholeStack());
    const cell = line === undefined ? undefined : cellAtLine(setting.source, line);
    if (cell?.kind !== 'code') {
      throw new Error(`${setting.name}: cannot tell which code cell showed this ${output.kind}`);
    }
    outputs.push({ cell: cell.number, output });
    setting.onOutput?.(output);
  };
  const takeName = (name: string, names: Set<string>): string => {
    const taken = slug(name);
    if (names.has(taken)) throw new RangeError(`${setting.name}: two outputs are named "${taken}"`);
    names.add(taken);
    return taken;
  };
  /** A caption may come again, where a cell shows a table for each part of a network: the next one is numbered. */
  const takeCaption = (caption: string): string => {
    let name = slug(caption);
    for (let number = 2; shown.has(name); number += 1) name = `${slug(caption)}-${number}`;
    return takeName(name, shown);
  };
  const addClaim = (statement: string | Prose, about: 'any review' | 'the demo only', holds: boolean) => {
    const text = typeof statement === 'string' ? prose`${statement}`.markdown : statement.markdown;
    add({ kind: 'claim', claim: { statement: text, about, status: holds ? 'holds' : 'not checked' } });
  };

  const notebook: Notebook = {
    name: setting.name,
    review: setting.review,
    folder: setting.facts.folder,
    show: (item, options = {}) => {
      if (item.kind === 'prose') return add({ ...item, ...(options.beside && { beside: options.beside }) });
      const name = options.name === undefined ? takeCaption(item.caption) : takeName(options.name, shown);
      add({
        kind: 'table',
        name,
        table: item,
        trace: traceOf([item, options.from]),
        ...(options.beside && { beside: options.beside }),
      });
    },
    draw: (figure, options) => {
      const name = takeName(options.name ?? options.title, shown);
      const notice = showsInventedData(setting.facts) ? { notice: inventedDataNotice } : {};
      const wide = figure({ width: '190mm', idPrefix: `${name}-wide`, ...notice });
      const narrow = figure({ width: '90mm', idPrefix: `${name}-narrow`, ...notice });
      add({
        kind: 'figure',
        name,
        title: options.title,
        wide,
        narrow,
        trace: traceOf(options.from),
        ...(options.beside && { beside: options.beside }),
      });
    },
    attach: (document, options = {}) => {
      const name = takeName(options.name ?? document.title, shown);
      const tables = document.blocks.flatMap((block) => (block.kind === 'table' ? [block.table] : []));
      add({ kind: 'document', name, document, trace: traceOf(tables) });
    },
    reading: (words, ...values) => add(prose(words, ...values)),
    record: (name, result, options = {}) => {
      const value = jsonSafe(result, name) as object;
      for (const text of options.supporting ? [] : methodsOf(value)) methods.add(text);
      // A supporting result that differs from the protocol shows what a rule does; the page's answer keeps to the rule.
      const differing = options.supporting ? sensitivityAnalyses : departures;
      for (const text of textsUnder(value, 'departures')) differing.add(text);
      add({ kind: 'result', name: takeName(name, recorded), value, trace: traceOf(result) });
    },
    claim: (statement, holds) => {
      if (!holds) throw new ClaimFailed(claimMessage(statement));
      addClaim(statement, 'any review', true);
    },
    claimForDemo: (statement, holds) => {
      const isDemo = setting.facts.isDemo ?? false;
      if (isDemo && !holds()) throw new ClaimFailed(claimMessage(statement));
      addClaim(statement, 'the demo only', isDemo);
    },
    needsOutcome: (...outcomes) => {
      for (const outcome of outcomes) {
        const reason = whyOutcomeIsMissing(setting.review, outcome);
        if (reason !== undefined) throw new NotebookSkipped(reason);
      }
    },
    skip: (reason) => {
      throw new NotebookSkipped(reason);
    },
  };
  return {
    notebook,
    run: () => ({
      name: setting.name,
      source: setting.source,
      facts: setting.facts,
      outputs: [...outputs],
      methods: [...methods],
      departures: [...departures],
      sensitivityAnalyses: [...sensitivityAnalyses],
      studyOfRow: studiesOfRows(setting.review),
    }),
  };
}

/** Worked out once a review: every page of a run asks. */
const knownStudies = new WeakMap<Review, ReadonlyMap<string, string>>();

function studiesOfRows(review: Review): ReadonlyMap<string, string> {
  const known = knownStudies.get(review);
  if (known !== undefined) return known;
  const labels = new Map(
    reviewRows(review).flatMap(({ row, label }) =>
      label === undefined ? [] : [[rowKey(row), label] as const],
    ),
  );
  knownStudies.set(review, labels);
  return labels;
}

function whyOutcomeIsMissing(review: Review, outcome: string): string | undefined {
  const known = review.protocol.outcomes.some(({ id, kind }) => id === outcome && kind === 'events');
  if (!known) return `protocol.json has no outcome "${outcome}" counted as events`;
  const reported = review.events.some((row) => row.outcome === outcome);
  return reported ? undefined : `no row of events.csv reports "${outcome}"`;
}

function claimMessage(statement: string | Prose): string {
  return `claim does not hold: ${typeof statement === 'string' ? statement : statement.markdown}`;
}

/**
 * The methods sentences within a result, each with the names of the parts it belongs to: `Revision, Subpectoral:`.
 * Where a pool holds another pool, the outer sentence covers both.
 */
function methodsOf(value: unknown, names: readonly string[] = []): string[] {
  if (typeof value !== 'object' || value === null) return [];
  if ('methodsSentence' in value && typeof value.methodsSentence === 'string') {
    return [names.length === 0 ? value.methodsSentence : `${names.join(', ')}: ${value.methodsSentence}`];
  }
  const name = 'name' in value && typeof value.name === 'string' ? value.name : undefined;
  // A pool within a pair of the same name, or with the id of its site, is named once.
  const named =
    name === undefined || names.some((known) => plain(known) === plain(name)) ? names : [...names, name];
  return Object.values(value).flatMap((member) => methodsOf(member, named));
}

const plain = (name: string): string => name.toLowerCase().replaceAll('-', ' ');

/** Every text standing under a key, however deep, in order of appearance. */
function textsUnder(value: unknown, key: string): string[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, member]) => {
    if (name !== key) return textsUnder(member, key);
    if (typeof member === 'string') return [member];
    return Array.isArray(member) ? member.filter((item) => typeof item === 'string') : [];
  });
}
