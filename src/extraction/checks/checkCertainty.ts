import { didYouMean, listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import { isReported } from '../reported.ts';
import { decidedLevels, decidedNetworkDomains } from '../sheets/certaintySheet.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Decisions on outcomes nobody counts, on questions that cannot be asked, and levels a domain does not have. */
export function checkCertainty(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  const ratesDecided = new Map<string, string>();
  const outcomes = placed.protocol?.outcomes ?? [];
  const counted = outcomes.filter(({ kind }) => kind === 'events').map(({ id }) => id);
  const all = outcomes.map(({ id }) => id);
  for (const row of placed.certainty) {
    const { outcome, question, site, comparator, body, domain, levels, reason } = row.values;
    if (placed.protocol !== undefined && !counted.includes(outcome))
      problems.push(
        row.problem(
          'error',
          'outcome',
          'an outcome of protocol.json counted as events',
          `${didYouMean(outcome, counted)}Outcomes counted as events: ${listNames(counted)}.`,
        ),
      );
    if (question === 'rate' && isReported(comparator))
      problems.push(
        row.problem(
          'error',
          'comparator',
          'nothing beside a rate',
          'Clear the cell, or make the question a comparison.',
        ),
      );
    if (question === 'comparison' && !isReported(comparator))
      problems.push(
        row.problem(
          'error',
          'comparator',
          'the other site of the comparison',
          'Fill it in, or make the question a rate.',
        ),
      );
    if (question === 'comparison' && comparator === site)
      problems.push(
        row.problem(
          'error',
          'comparator',
          'another site than the first',
          'A site cannot be compared with itself.',
        ),
      );
    if (body === 'network' && question === 'rate')
      problems.push(
        row.problem('error', 'body', 'a body that gives a rate', 'A network compares; clear the cell.'),
      );
    if (body === 'network' && !decidedNetworkDomains.some((each) => each === domain))
      problems.push(
        row.problem(
          'error',
          'domain',
          `one of ${listNames(decidedNetworkDomains)}`,
          'The other domains are decided on the comparisons the network is made of.',
        ),
      );
    if (!isReported(levels)) {
      if (isReported(reason))
        problems.push(
          row.problem(
            'error',
            'levels',
            'the levels that were decided, beside their reason',
            'Fill them in (0 keeps the level), or clear the reason while nothing is decided.',
          ),
        );
      continue;
    }
    if (!isReported(reason))
      problems.push(
        row.problem(
          'error',
          'reason',
          'text, not a blank',
          'Fill it in, for example: more than half of the weight has no blinded assessment.',
        ),
      );
    // A blank body and the only body of a rate are one and the same.
    if (question === 'rate') {
      const name = [outcome, site, domain].join('\n');
      const other = ratesDecided.get(name);
      if (other !== undefined && other !== body)
        problems.push(
          row.problem(
            'warning',
            'body',
            'one row on each domain of a rate',
            'A rate has one body of evidence, so a blank names the same as the other row; the row that names it counts.',
          ),
        );
      ratesDecided.set(name, body);
    }
    const allowed = decidedLevels(domain);
    if (!(allowed as readonly unknown[]).includes(levels))
      problems.push(
        row.problem(
          'error',
          'levels',
          `one of ${listNames(allowed.map(String))}`,
          `${domain} takes no other levels.`,
        ),
      );
  }
  for (const row of placed.missing) {
    if (placed.protocol === undefined || all.includes(row.values.outcome)) continue;
    problems.push(
      row.problem(
        'error',
        'outcome',
        'an outcome of protocol.json',
        `${didYouMean(row.values.outcome, all)}Known outcomes: ${listNames(all)}.`,
      ),
    );
  }
  return problems;
}
