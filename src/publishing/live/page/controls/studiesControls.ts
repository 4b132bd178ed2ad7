import { type OverlapRule, overlapRules } from '../../../../extraction/protocol.ts';
import type { Review } from '../../../../extraction/review.ts';
import { type StudyDesign, studyDesigns } from '../../../../extraction/sheets/studiesSheet.ts';
import { siteNames } from '../../../../extraction/site.ts';
import type { LiveAnalysis } from '../../analysis/analyse.ts';
import type { ListedStudy } from '../../analysis/listStudies.ts';
import type { LiveChange } from '../../state/changeState.ts';
import { type QualityRule, qualityRules } from '../../state/liveState.ts';
import { element, type Part, setText } from '../element.ts';
import { controlGroup, selectField, tickList } from './field.ts';

const overlapWords: Readonly<Record<OverlapRule, string>> = {
  largest: 'the largest report counts',
  latest: 'the latest report counts',
  'primary-report': 'the primary report counts',
};

const qualityWords: Readonly<Record<QualityRule, string>> = {
  all: 'all count',
  'without-low': 'without those of low quality',
  'low-concern': 'only those of low concern',
};

/** Which studies count: one by one, by design, by quality, and of several reports of the same patients. */
export function studiesControls(
  review: Review,
  open: boolean,
  change: (change: LiveChange) => void,
): Part<LiveAnalysis> {
  const list = studyList(change);
  const designs = tickList('designs', 'Designs', false, (words) =>
    change({ kind: 'choose', choices: { designs: words as readonly StudyDesign[] } }),
  );
  const qualityRule = selectField<QualityRule>('quality', 'How well the studies were done', (rule) =>
    change({ kind: 'choose', choices: { quality: rule } }),
  );
  const overlap = selectField<OverlapRule>('same-patients', 'Several reports of the same patients', (rule) =>
    change({ kind: 'choose', choices: { overlapRule: rule } }),
  );
  return {
    node: controlGroup('Which studies', open, list.node, designs.node, qualityRule.node, overlap.node),
    update(analysis) {
      const { choices, quality } = analysis;
      list.update(analysis);
      const count = (design: string) => review.studies.filter((study) => study.design === design).length;
      designs.update({
        chosen: choices.designs,
        all: studyDesigns.filter((design) => count(design) > 0),
        detail: (design) => `${count(design)} ${count(design) === 1 ? 'study' : 'studies'}`,
      });
      const total = review.studies.length;
      const counts = (rule: QualityRule): number => total - quality[rule].size;
      qualityRule.update({
        value: choices.quality,
        options: qualityRules.map((value) => ({
          value,
          name: `${qualityWords[value]} (${counts(value)} of ${total})`,
          unfit:
            counts(value) === 0 && value !== choices.quality
              ? 'No study is judged to be of low concern for this outcome.'
              : undefined,
        })),
        unfit:
          review.judgements.length === 0 && choices.quality === 'all'
            ? 'Nobody has judged how well the studies were done: judgements.csv is empty.'
            : undefined,
      });
      overlap.update({
        value: choices.overlapRule,
        options: overlapRules.map((value) => ({ value, name: overlapWords[value] })),
      });
    },
  };
}

/** Every study that could count, with a tick each, a box to find one, and the biggest one click away. */
function studyList(change: (change: LiveChange) => void): Part<LiveAnalysis> {
  const search = element('input', {
    id: 'find-study',
    type: 'search',
    placeholder: 'Find a study or a site',
  });
  const list = element('ul', { class: 'ticks studies' });
  const summary = element('p', { class: 'why', id: 'studies-on' });
  let studies: readonly ListedStudy[] = [];
  let shown = '';
  const find = (): void => {
    const wanted = search.value.trim().toLowerCase();
    for (const [at, row] of [...list.children].entries())
      (row as HTMLElement).hidden = !searchText(studies[at]).includes(wanted);
  };
  search.addEventListener('input', find);
  return {
    node: element(
      'fieldset',
      { class: 'field', id: 'studies' },
      element('legend', {}, 'Studies, biggest first'),
      element('label', { for: 'find-study', class: 'quiet' }, 'Find a study or a site'),
      search,
      summary,
      list,
    ),
    update({ studies: now }) {
      const on = now.filter((study) => study.on);
      setText(
        summary,
        `${on.length} of ${now.length} ${now.length === 1 ? 'study counts' : 'studies count'}.`,
      );
      const wanted = JSON.stringify(now);
      if (wanted === shown) return;
      shown = wanted;
      const same =
        studies.length === now.length && studies.every(({ study }, at) => study === now[at]!.study);
      studies = now;
      if (same) for (const [at, row] of [...list.children].entries()) tick(row, now[at]!);
      else list.replaceChildren(...now.map((study) => studyRow(study, change)));
      find();
    },
  };
}

const searchText = (study: ListedStudy | undefined): string =>
  study === undefined
    ? ''
    : [study.label, study.study, ...study.sites.map((site) => siteNames[site])].join(' ').toLowerCase();

function tick(row: Element, study: ListedStudy): void {
  const box = row.querySelector('input');
  if (box !== null) box.checked = study.on;
  row.classList.toggle('off', !study.on);
  setText(row.querySelector('.detail')!, detailOf(study));
}

const detailOf = ({ shoulders, sites }: ListedStudy): string =>
  `${shoulders.toLocaleString('en-GB')} · ${sites.map((site) => siteNames[site].toLowerCase()).join(', ')}`;

function studyRow(study: ListedStudy, change: (change: LiveChange) => void): HTMLElement {
  const id = `study-${study.study}`;
  const box = element('input', { type: 'checkbox', id });
  box.addEventListener('change', () => change({ kind: 'switch', studies: [study.study], on: box.checked }));
  const row = element(
    'li',
    {},
    box,
    element('label', { for: id }, study.label, ' ', element('span', { class: 'detail' })),
  );
  tick(row, study);
  return row;
}
