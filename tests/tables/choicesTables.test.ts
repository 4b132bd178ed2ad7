import { describe, expect, it } from 'vitest';
import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';
import { runChoices } from '../../src/robustness/choices/runChoices.ts';
import { summariseChoices } from '../../src/robustness/choices/summariseChoices.ts';
import { checkClaim } from '../../src/robustness/claims/checkClaim.ts';
import { informationSize } from '../../src/robustness/claims/informationSize.ts';
import { missingBounds } from '../../src/robustness/missing/missingBounds.ts';
import { missingEvidence } from '../../src/robustness/missing/missingEvidence.ts';
import { judgeMissingEvidence } from '../../src/robustness/missing/missingJudgement.ts';
import { choiceInfluenceTable, choicesRangeTable, conclusionsTable } from '../../src/tables/choicesTables.ts';
import { claimTable, informationTable } from '../../src/tables/claimTables.ts';
import { missingBoundsTable, missingJudgementTable, missingTable } from '../../src/tables/missingTables.ts';
import { choicesReading } from '../../src/tables/readings/choicesReading.ts';
import { tableToCsv } from '../../src/tables/tableToCsv.ts';
import { tableToText } from '../../src/tables/tableToText.ts';

const { review: read } = await readReviewFolder('data-extraction/demo');
const review = read!;
const grid = { scale: ['logit'], interval: ['wald', 'hartung-knapp'] } as const;
const summary = summariseChoices(
  runChoices(review, 'groove-pain', { site: 'subpectoral', minus: 'top-of-groove' }, { grid }),
);
const nothing = summariseChoices(
  runChoices({ ...review, events: [] }, 'revision', { site: 'tenotomy', minus: 'subpectoral' }),
);

describe('tables of choices', () => {
  it('counts of the conclusions add up to the analyses', () => {
    const { rows } = conclusionsTable([summary]);
    expect(rows.reduce((sum, { analyses }) => sum + Number(analyses), 0)).toBe(summary.analyses);
    expect(rows.filter(({ protocol }) => protocol === 'yes')).toHaveLength(1);
  });

  it('one row a choice, in the order of what it moves', () => {
    expect(choiceInfluenceTable(summary).rows.map(({ choice }) => choice)).toEqual(
      summary.influence.map(({ name }) => name),
    );
  });

  it('without any answer every table and sentence still stands', () => {
    const text = [
      ...[conclusionsTable([nothing]), choiceInfluenceTable(nothing), choicesRangeTable([nothing])].map(
        tableToText,
      ),
      ...choicesReading(nothing),
    ].join('\n');
    expect(text).toContain('no answer');
    expect(text).toContain('at one of the two sites');
    expect(text).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('the reading says the numbers of the summary', () => {
    const text = choicesReading(summary).join(' ');
    expect(text).toContain((100 * summary.answers!.highest).toFixed(1).replace('-', '\u2212'));
    expect(text).toContain(summary.influence[0]!.name.toLowerCase());
  });
});

describe('tables of claims', () => {
  it('hold the counts and no number that is not one', () => {
    for (const claim of [
      { events: 0, total: 40, limit: 0.05 },
      { events: 3, total: 3, comparator: { events: 0, total: 1 } },
      { events: 4, total: 42, comparator: { events: 15, total: 45 }, limit: 0.3 },
    ]) {
      const text = tableToCsv(claimTable(checkClaim(claim)));
      expect(text).toContain(`${claim.events} of ${claim.total}`);
      expect(text).not.toMatch(/NaN|undefined|Infinity/);
    }
  });

  it('information: an outcome without a rate says so', () => {
    const shown = informationTable([
      { outcome: 'Revision', size: informationSize(0.02, 0.01, 100) },
      { outcome: 'Nerve injury', size: undefined },
    ]);
    expect(shown.rows[0]).toMatchObject({ needed: 4632, held: 100, lacking: 4532 });
    expect(shown.rows[1]).toMatchObject({ rates: 'no rate to plan from', needed: undefined });
  });
});

describe('tables of missing evidence', () => {
  it('rows of the matrix add up to the studies', () => {
    const evidence = missingEvidence(review);
    for (const row of missingTable(evidence).rows) {
      const { used, elsewhere, otherwise, without, silent } = row;
      expect(Number(used) + Number(elsewhere) + Number(otherwise) + Number(without) + Number(silent)).toBe(
        evidence.studies.length,
      );
    }
    const judged = missingJudgementTable(judgeMissingEvidence(evidence, []));
    for (const { overall } of judged.rows) expect(overall).toBe('not judged');
  });

  it('bounds of a site nobody reports are blank, not zero', () => {
    const bounds = missingBounds({ ...review, events: [] }, 'revision', 'tenotomy');
    const [row] = missingBoundsTable([bounds]).rows;
    expect(row).toMatchObject({
      reported: undefined,
      none: undefined,
      all: undefined,
      pooled: '0, no rate, 100',
    });
  });
});
