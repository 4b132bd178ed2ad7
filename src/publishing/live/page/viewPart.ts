import type { Review } from '../../../extraction/review.ts';
import { tableToHtml } from '../../../tables/tableToHtml.ts';
import type { BesideKind } from '../../../wording/beside.ts';
import { inventedDataNotice, type PageFacts, showsInventedData } from '../../pageFacts.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import { departuresLine } from '../exports/departuresTravel.ts';
import type { LiveFrame, ViewBlock } from '../views/viewContent.ts';
import { views } from '../views/views.ts';
import { button, element, markedNodes, type Part, putMarkup, setText } from './element.ts';

/** What a reader may take away from a view. */
export interface ViewActions {
  readonly saveSvg: (name: string, svg: string) => void;
  readonly savePng: (name: string, svg: string) => void;
  readonly copyPicture: (svg: string) => void;
  readonly saveCsv: (name: string, block: Extract<ViewBlock, { kind: 'table' }>) => void;
}

/** From this many CSS pixels on, the figure for two columns is drawn; below, the one for a single column. */
export const narrowBelow = 640;

const besideOf = ({ beside }: { readonly beside?: BesideKind }) =>
  beside === undefined ? {} : { 'data-beside': beside };

/** The view chosen, drawn anew whenever the analysis changes; tables that were opened stay open. */
export function viewPart(review: Review, facts: PageFacts, actions: ViewActions): Part<LiveAnalysis> {
  const heading = element('h2', { id: 'view', tabindex: '-1' });
  const body = element('div', { class: 'view-body' });
  const opened = new Set<string>();
  const notice = showsInventedData(facts) ? { notice: inventedDataNotice } : {};
  let departed: { readonly subtitle?: string } = {};
  const frame = (width: LiveFrame['width'], idPrefix: string): LiveFrame => ({
    width,
    idPrefix,
    document,
    ...notice,
    ...departed,
  });

  const figure = (block: Extract<ViewBlock, { kind: 'figure' }>): HTMLElement => {
    const width = body.clientWidth < narrowBelow ? '90mm' : '190mm';
    const picture = element('div', { class: `panel panel-${width}` });
    putMarkup(picture, block.draw(frame(width, `view-${block.name}`)));
    const file = (): string => block.draw(frame('190mm', block.name));
    return element(
      'figure',
      { 'aria-label': block.title, ...besideOf(block) },
      picture,
      element(
        'p',
        { class: 'take' },
        button('SVG', () => actions.saveSvg(block.name, file()), { 'aria-label': `SVG of ${block.title}` }),
        button('PNG', () => actions.savePng(block.name, file()), { 'aria-label': `PNG of ${block.title}` }),
        button('Copy picture for a slide', () => actions.copyPicture(file())),
      ),
    );
  };

  const tableBlock = (block: Extract<ViewBlock, { kind: 'table' }>): HTMLElement => {
    const id = `table-${block.name}`;
    const scroll = element('div', { class: 'scroll', role: 'region', tabindex: '0', 'aria-labelledby': id });
    putMarkup(scroll, tableToHtml(block.table, { id }));
    const csv = button('CSV', () => actions.saveCsv(block.name, block), {
      'aria-label': `CSV of ${block.table.caption}`,
    });
    const whole = element(
      'div',
      { class: 'table', ...besideOf(block) },
      scroll,
      element('p', { class: 'take' }, csv),
    );
    if (block.folded !== true) return whole;
    const folded = element(
      'details',
      { class: 'folded', open: opened.has(block.name) },
      element('summary', {}, block.table.caption),
      whole,
    );
    folded.addEventListener('toggle', () => {
      if (folded.open) opened.add(block.name);
      else opened.delete(block.name);
    });
    return folded;
  };

  const draw = (block: ViewBlock): readonly HTMLElement[] => {
    switch (block.kind) {
      case 'figure':
        return [figure(block)];
      case 'table':
        return [tableBlock(block)];
      case 'caution':
        return [element('p', { class: 'caution' }, block.text)];
      case 'sentences':
        return [
          ...(block.heading === undefined ? [] : [element('h3', {}, block.heading)]),
          element(
            'ul',
            { class: 'sentences', ...besideOf(block) },
            ...block.sentences.map((text) => element('li', {}, ...markedNodes(text))),
          ),
        ];
    }
  };

  return {
    node: element('section', { class: 'view', 'aria-labelledby': 'view' }, heading, body),
    update(analysis) {
      const view = views[analysis.state.view];
      const subtitle = departuresLine(analysis.departures);
      departed = subtitle === undefined ? {} : { subtitle };
      setText(heading, view.heading);
      try {
        body.replaceChildren(...view.blocks(analysis, review).flatMap(draw));
      } catch (error) {
        // Never an empty page: what was chosen stands above, and can be undone.
        const reason = error instanceof Error ? error.message : String(error);
        body.replaceChildren(element('p', { class: 'caution' }, `This view could not be made: ${reason}.`));
      }
      body.dataset.view = view.id;
    },
  };
}
