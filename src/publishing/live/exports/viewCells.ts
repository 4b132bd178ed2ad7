// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the code of a notebook, as text
import type { LiveState } from '../state/liveState.ts';
import { mostArmsExhaustive } from '../views/changeView.ts';

/** The code that shows a view in a notebook, and what it imports from the index. */
export interface ViewCells {
  readonly imports: readonly string[];
  readonly code: readonly string[];
}

/** The last cell of a view's notebook: the same figure, sentences and tables as on the page. */
export function viewCells(state: LiveState): ViewCells {
  switch (state.view) {
    case 'rates':
      return {
        imports: [
          'baseForPools',
          'limitsReading',
          'methodsCheckReading',
          'outsideReading',
          'poolInWords',
          'predictionReading',
          'sitesOverview',
        ],
        code: [
          'const title = `${selection.outcome.name}, per 100 shoulders`;',
          'notebook.draw((frame) => sitesOverview([{ outcome: selection.outcome.name, pools }], { ...frame, title }), { title });',
          'const base = baseForPools(pools.sites.map(({ pool }) => pool));',
          'notebook.reading`${bulletList(pools.sites.map(({ name, pool, answer }) => `${name}: ${poolInWords(pool, { base, answer }).sentence}`))}`;',
          'notebook.reading`${bulletList([...predictionReading(pools), outsideReading(pools), ...limitsReading(pools), ...methodsCheckReading(pools)])}`;',
        ],
      };
    case 'forest':
      return {
        imports: ['forestPlot', 'leftOutTable', 'predictionReading', 'studiesTable', 'zeroArmsReading'],
        code: [
          'const title = `${selection.outcome.name}, per 100 shoulders`;',
          'notebook.draw((frame) => forestPlot(pools, { ...frame, title }), { title });',
          'notebook.reading`${bulletList([...predictionReading(pools), zeroArmsReading(pools)])}`;',
          "notebook.show(studiesTable(pools, { interval: review.protocol.analysis.studyInterval, caption: 'Arms, with where each was read' }));",
          "notebook.show(leftOutTable(selection.leftOut, { caption: 'Rows not used, with the reason' }));",
        ],
      };
    case 'funnel':
      return {
        imports: ['funnelPlot', 'smallStudiesReading'],
        code: [
          'const title = `${selection.outcome.name}: rate against size of the arm`;',
          'notebook.draw((frame) => funnelPlot(pools, { ...frame, title }), { title });',
          'notebook.reading`${smallStudiesReading(pools)}`;',
        ],
      };
    case 'sites':
      return {
        imports: [
          'absoluteEffectsTable',
          'layersOfEvidence',
          'networkLayers',
          'singleArmTable',
          'siteLayersReading',
        ],
        code: [
          'const { answered, layers, singleArms } = layersOfEvidence(answers, selection.outcome.id);',
          "notebook.record('site against site', { layers }, { supporting: true });",
          'notebook.reading`${bulletList(siteLayersReading(layers))}`;',
          "notebook.show(absoluteEffectsTable(answered, { caption: 'The difference in 100 shoulders' }));",
          'const title = `${selection.outcome.name}: four ways to set site against site`;',
          'notebook.draw((frame) => networkLayers(layers, { ...frame, title }), { title });',
          'notebook.show(singleArmTable(singleArms));',
        ],
      };
    case 'claim':
      return {
        imports: ['checkClaim', 'claimPicture', 'claimTable', 'readClaim'],
        code: [
          `const sentence = ${JSON.stringify(state.claim.trim() === '' ? '0 of 40, under 5 %' : state.claim)};`,
          `const pool = arms.filter(({ site }) => site === ${JSON.stringify(state.site)});`,
          'const level = options.level ?? review.protocol.analysis.level;',
          'const checked = checkClaim(readClaim(sentence), { level, pool });',
          "notebook.record('the claim', checked);",
          'notebook.reading`${bulletList([checked.sentence, ...checked.further])}`;',
          "notebook.draw((frame) => claimPicture(checked, { ...frame, names: { claim: 'The claim' } }), { title: 'How many there may be' });",
          'notebook.show(claimTable(checked));',
        ],
      };
    case 'change':
      return {
        imports: [
          'influenceRows',
          'sizeTestReading',
          'smallStudiesTable',
          'whatWouldChange',
          'whatWouldChangeReading',
          'whatWouldChangeTable',
        ],
        code: [
          'const sites = pools.sites.map(({ site, name, pool }) => ({',
          '  site,',
          '  name,',
          '  studies: pool.studies,',
          `  changes: whatWouldChange(pool, { exhaustiveUpTo: ${mostArmsExhaustive} }),`,
          '}));',
          'const material = selection.outcome.thresholdsPer100.materialDifference / 100;',
          "notebook.record('without each study', { sites: sites.map(({ site, changes }) => ({ site, without: changes?.omitted.without })) }, { supporting: true });",
          'notebook.reading`${bulletList(sites.flatMap((site) => whatWouldChangeReading(site, material).map((text) => `${site.name}: ${text}`)))}`;',
          "notebook.show(whatWouldChangeTable(sites, { caption: 'What one study does' }));",
          `const chosen = sites.find(({ site }) => site === ${JSON.stringify(state.site)})?.changes;`,
          "if (chosen !== undefined) notebook.draw((frame) => influenceRows(chosen.omitted, { ...frame, title: 'Without each study' }), { title: 'Without each study' });",
          'notebook.reading`${bulletList(sizeTestReading(sites))}`;',
          "notebook.show(smallStudiesTable(sites, { caption: 'Small arms against large ones' }));",
        ],
      };
  }
}
