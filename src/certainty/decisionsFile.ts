import { stringify } from 'csv-stringify/browser/esm/sync';
import { editSheet, type SheetCells } from '../extraction/editSheet.ts';
import { isReported } from '../extraction/reported.ts';
import type { CertaintyRow, Review } from '../extraction/review.ts';
import { sheets } from '../extraction/sheets/sheets.ts';
import { pooledSites } from '../extraction/site.ts';
import { checkOptionNames } from '../pooling/optionChecks.ts';
import { certaintyOfReview, selectedCounts } from './certaintyOfReview.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';
import { type CertaintyRating, domainsDown } from './certaintyRating.ts';
import { bodyOfRow } from './decisionsOfReview.ts';
import { fingerprintOfBody } from './fingerprintOfBody.ts';
import { networkCertainty } from './networkCertainty.ts';
import { qualityForQuestion } from './quality/studyQuality.ts';
import type { NetworkRating } from './rateNetworkEstimate.ts';

export interface DecisionsFileOptions {
  /** Record what the body holds now beside each decision that has no such record; default false. */
  readonly confirm?: boolean;
}

/** A decision that could not be bound to a body. */
export interface UnboundDecision {
  readonly line: number;
  /** What the person can do. */
  readonly cure: string;
}

export interface DecisionsFile {
  /** The file as it should be; the one that was given where nothing is to be changed. */
  readonly text: string;
  readonly changed: boolean;
  /** Rows added, nothing decided in them. */
  readonly added: number;
  /** Decisions that now carry what their body holds. */
  readonly confirmed: number;
  /** Decisions without a record that could not be bound; empty unless `confirm` was asked for. */
  readonly unbound: readonly UnboundDecision[];
}

const headings = Object.keys(sheets.certainty.columns.shape);

/**
 * certainty.csv with a row for every question, body and domain that people must decide on.
 *
 * Rows that are there stay, in their order, with every cell a person filled. A new row holds the levels the data propose in
 * `proposed_then` and no decision; where nothing is decided yet that proposal is brought up to date. With `confirm`, each
 * decision without a record of what its body held gets the body's fingerprint (and, where that cell is blank, what the
 * data propose): the person says by it that the decision is about the body as it is now. A decision with an older record is
 * left alone; who has taken it again empties the cell first.
 *
 * @param content certainty.csv as it is; undefined where there is none
 * @throws RangeError for an unknown option, or a file that is not the one the review was read from
 * @example
 * decisionsFile(review, files['certainty.csv'], { confirm: true }).text
 */
export function decisionsFile(
  review: Review,
  content: string | Uint8Array | undefined,
  options: DecisionsFileOptions = {},
): DecisionsFile {
  checkOptionNames(options, ['confirm'] satisfies (keyof DecisionsFileOptions)[]);
  const cells = new Map<number, SheetCells>();
  const rows: SheetCells[] = [];
  const unbound: UnboundDecision[] = [];
  let confirmed = 0;
  const asked = new Set<CertaintyRow>();
  const questions = questionsOf(review);
  // A network is fitted only where somebody decides on one.
  const networks = new Map<string, readonly NetworkRating[]>();
  const networkOf = (question: CertaintyQuestion): NetworkRating | undefined => {
    const { outcome } = question;
    const own = questions.filter((each) => each.kind === 'comparison' && each.outcome === outcome);
    const found =
      networks.get(outcome) ??
      networkCertainty(
        review,
        selectedCounts(review, question),
        own.map((each) => certaintyOfReview(review, each)),
      );
    networks.set(outcome, found);
    return found.find((each) => JSON.stringify(each.question) === JSON.stringify(question));
  };
  for (const question of questions) {
    const answer = certaintyOfReview(review, question);
    const bodies = [answer, ...answer.others].filter(({ level }) => level !== undefined);
    const own = review.certainty.filter((row) => asks(row, question));
    for (const row of own) {
      asked.add(row);
      const design = bodyOfRow(row);
      const rating =
        design === 'network' ? networkOf(question) : bodies.find(({ body }) => body.design === design);
      const proposed = rating?.domains.find(({ domain }) => domain === row.domain)?.proposed;
      if (!isReported(row.levels)) {
        if (proposed !== undefined && row.proposedThen !== proposed)
          cells.set(row.row.line, { proposed_then: String(proposed) });
      } else if (options.confirm === true && !isReported(row.heldWhenDecided)) {
        if (rating === undefined) unbound.push({ line: row.row.line, cure: cureOf(row, bodies) });
        else {
          confirmed += 1;
          cells.set(row.row.line, {
            held_when_decided: fingerprintOfBody(rating.body, qualityForQuestion(review, question)),
            ...(isReported(row.proposedThen) ? {} : { proposed_then: String(proposed) }),
          });
        }
      }
    }
    for (const rating of bodies)
      for (const { domain, proposed } of rating.domains) {
        const mustBeDecided = (domainsDown as readonly string[]).includes(domain) || proposed !== 0;
        // A row that names no body may become this one.
        const there = own.some(
          (row) => row.domain === domain && [rating.body.design, undefined].includes(bodyOfRow(row)),
        );
        if (mustBeDecided && !there) rows.push(openRow(rating, domain, proposed));
      }
  }
  if (options.confirm === true)
    for (const row of review.certainty)
      if (!asked.has(row) && isReported(row.levels) && !isReported(row.heldWhenDecided))
        unbound.push({
          line: row.row.line,
          cure: 'No output asks this question: see outcome, site and comparator, in the order the sites have.',
        });
  const changed = cells.size + rows.length > 0;
  const given = content ?? stringify([headings]);
  return {
    text: changed ? editSheet(given, headings, { cells, rows }) : asText(given),
    changed,
    added: rows.length,
    confirmed,
    unbound: unbound.sort((a, b) => a.line - b.line),
  };
}

/** Every rate and every pair of the protocol's sites, pairs in the order in which every output asks them. */
function questionsOf({ protocol }: Review): readonly CertaintyQuestion[] {
  const sites = pooledSites.filter((site) => protocol.sites.includes(site));
  return protocol.outcomes
    .filter(({ kind }) => kind === 'events')
    .flatMap(({ id: outcome }): CertaintyQuestion[] => [
      ...sites.map((site) => ({ kind: 'rate', outcome, site }) as const),
      ...sites.flatMap((site, at) =>
        sites.slice(at + 1).map((comparator) => ({ kind: 'comparison', outcome, site, comparator }) as const),
      ),
    ]);
}

const asks = (row: CertaintyRow, question: CertaintyQuestion): boolean =>
  row.outcome === question.outcome &&
  row.question === question.kind &&
  row.site === question.site &&
  (question.kind === 'rate' || row.comparator === question.comparator);

function openRow({ question, body }: CertaintyRating, domain: string, proposed: number): SheetCells {
  return {
    outcome: question.outcome,
    question: question.kind,
    site: question.site,
    comparator: question.kind === 'rate' ? '' : question.comparator,
    body: body.design,
    domain,
    proposed_then: String(proposed),
  };
}

function cureOf(row: CertaintyRow, bodies: readonly CertaintyRating[]): string {
  const there = bodies.map(({ body }) => `"${body.design}"`).join(' or ');
  if (bodies.length === 0) return 'No study answers this question now.';
  return bodyOfRow(row) === undefined
    ? `Name the body the decision is about: ${there}.`
    : `No such body answers this question now; there is ${there}.`;
}

const asText = (content: string | Uint8Array): string =>
  typeof content === 'string' ? content : new TextDecoder('utf-8', { ignoreBOM: true }).decode(content);
