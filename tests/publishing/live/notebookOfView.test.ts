import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { layersOfEvidence } from '../../../src/answers/layersOfEvidence.ts';
import { jsonSafe } from '../../../src/publishing/jsonSafe.ts';
import { analyse } from '../../../src/publishing/live/analysis/analyse.ts';
import { notebookOfView } from '../../../src/publishing/live/exports/notebookOfView.ts';
import { openingState } from '../../../src/publishing/live/state/changeState.ts';
import { type LiveState, liveViews } from '../../../src/publishing/live/state/liveState.ts';
import { checkedSentence } from '../../../src/publishing/live/views/claimView.ts';
import { parseNotebook } from '../../../src/publishing/notebookSource.ts';
import { projectRoot, runScript } from '../helpers/runScript.ts';
import { demo } from './demo.ts';

// Inside the project, so that `../src/index.ts` means what it does in notebooks/.
const folder = mkdtempSync(join(projectRoot, 'notebooks-of-views-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const facts = {
  reviewTitle: demo.protocol.title,
  folder: 'data-extraction/demo',
  question: demo.protocol.question,
  inventedData: true,
  notice: undefined,
  lastSearch: demo.protocol.lastSearch,
  dataFrom: undefined,
  tenositeVersion: '0',
  nodeVersion: '0',
};

const state: LiveState = {
  ...openingState(demo.protocol),
  departures: {
    assessors: ['blinded examiner', 'examiner'],
    quality: 'without-low',
    betweenStudyVariance: 'restricted-maximum-likelihood',
    interval: 'hartung-knapp',
    zeroEvents: 'leave-out',
    level: 0.9,
    windowMonths: { minimum: 6, maximum: 200 },
  },
  switchedOff: ['norholt-2009'],
  claim: '1 of 40, under 5 %',
  site: 'subpectoral',
};
const views = liveViews.map((view) => analyse(demo, { ...state, view }));

describe('the notebook of a view', () => {
  it.each(views.map((analysis) => [analysis.state.view, analysis] as const))(
    '%s: is a notebook, and says in what it departs from the protocol',
    (_, analysis) => {
      const source = parseNotebook(notebookOfView(analysis, facts), 'view.ts');
      expect(source.cells.filter(({ kind }) => kind === 'code').length).toBe(3);
      expect(source.cells[0]!.text).toContain('Norholt 2009');
    },
  );

  it('run by itself, or with others, comes to the numbers of the view', async () => {
    const notebooks = join(folder, 'notebooks');
    mkdirSync(notebooks);
    // One level further in, so that the import of the index is mended to match.
    for (const analysis of views)
      writeFileSync(
        join(notebooks, `${analysis.state.view}.ts`),
        notebookOfView(analysis, facts).replace("'../src/index.ts'", "'../../src/index.ts'"),
      );
    writeFileSync(join(folder, 'alone.ts'), notebookOfView(views[0]!, facts));
    const out = join(folder, 'out');
    const [together, alone] = await Promise.all([
      runScript('tests/publishing/helpers/startIn.ts', [
        notebooks,
        join(folder, 'companions'),
        'data-extraction/demo',
        '--out',
        out,
      ]),
      runScript(join(folder, 'alone.ts'), ['data-extraction/demo', '--out', join(folder, 'out-alone')]),
    ]);
    expect(together.code, together.err).toBe(0);
    expect(alone.code, alone.err).toBe(0);
    const results = (path: string) => JSON.parse(readFileSync(path, 'utf8'));
    expect(results(join(folder, 'out-alone/alone.json')).results).toEqual(
      results(join(out, 'rates.json')).results,
    );
    for (const analysis of views) {
      const page = results(join(out, `${analysis.state.view}.json`));
      expect(page.results.pools.pools, analysis.state.view).toEqual(jsonSafe(analysis.pools));
      expect(page.departures).toEqual(analysis.departures);
    }
    const sites = views[liveViews.indexOf('sites')]!;
    expect(results(join(out, 'sites.json')).results['site-against-site'].layers).toEqual(
      jsonSafe(layersOfEvidence(sites.answers, sites.outcome.id).layers),
    );
    expect(results(join(out, 'claim.json')).results['the-claim']).toEqual(
      jsonSafe(checkedSentence(views[liveViews.indexOf('claim')]!)),
    );
  });

  it('type-checks as it is', () => {
    const config = join(folder, 'tsconfig.json');
    writeFileSync(
      config,
      JSON.stringify({ extends: '../tsconfig.json', include: ['notebooks', 'alone.ts', '../src/**/*.d.ts'] }),
    );
    const { stdout, status } = spawnSync('npx', ['tsc', '-p', config], {
      cwd: projectRoot,
      encoding: 'utf8',
    });
    expect(`${status} ${stdout}`).toBe('0 ');
  });

  it('keeps hostile words as words', () => {
    const hostile = {
      ...views[0]!,
      departures: [`Studies switched off: */ \`$\{process.exit(7)}\` \n// %%.`],
    };
    const source = parseNotebook(
      notebookOfView(hostile, {
        ...facts,
        question: 'Where?\n// %%\nprocess.exit(1)',
        reviewTitle: '"\u2028',
      }),
      'view.ts',
    );
    expect(source.cells.length).toBe(6);
    expect(source.cells[1]!.text).toContain("from '../src/index.ts'");
  });
});
