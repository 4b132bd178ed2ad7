import { tableToCsv } from '../../../tables/tableToCsv.ts';
import { noteOnRows } from '../../noteOnRows.ts';
import type { PageFacts } from '../../pageFacts.ts';
import { slug } from '../../slug.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import { copyPicture, copyText } from '../exports/copy.ts';
import { departuresOnRows } from '../exports/departuresTravel.ts';
import { notebookOfView } from '../exports/notebookOfView.ts';
import { pngOfSvg } from '../exports/pngOfSvg.ts';
import { saveFile } from '../exports/saveFile.ts';
import { slideText } from '../exports/slideText.ts';
import type { ViewActions } from './viewPart.ts';

/** What a reader can take away from the page. */
export interface PageActions extends ViewActions {
  readonly copyLink: () => void;
  readonly copyAnswer: () => void;
  readonly saveNotebook: () => void;
}

/** The page's own typeface as rules whose fonts are data, for pictures that must carry it. */
const typeface = (): string => document.getElementById('typeface')?.textContent ?? '';

/** Everything that leaves the page: each file carries the caution and, where the data are invented, says so. */
export function pageActions(
  facts: PageFacts,
  now: () => LiveAnalysis,
  say: (sentence: string) => void,
): PageActions {
  const named = (name: string, ending: string): string => `${slug(`${now().outcome.id} ${name}`)}.${ending}`;
  const failed = (error: unknown): void =>
    say(`That did not work: ${error instanceof Error ? error.message : error}.`);
  const copied = (what: string) => (done: boolean) =>
    say(done ? `${what} copied.` : `${what} could not be copied: this browser does not allow it here.`);
  return {
    saveSvg: (name, svg) => saveFile(named(name, 'svg'), new Blob([svg], { type: 'image/svg+xml' })),
    savePng: (name, svg) =>
      void pngOfSvg(svg, typeface()).then((png) => saveFile(named(name, 'png'), png), failed),
    copyPicture: (svg) => {
      const png = pngOfSvg(svg, typeface());
      void copyPicture(png).then(async (done) => {
        if (done) return say('Picture copied: paste it into a slide.');
        saveFile(named('picture', 'png'), await png);
        say('This browser does not let a page copy pictures, so it was saved as a file instead.');
      }, failed);
    },
    saveCsv: (name, { table }) =>
      saveFile(
        named(name, 'csv'),
        new Blob([tableToCsv(noteOnRows(departuresOnRows(table, now().departures), facts))], {
          type: 'text/csv',
        }),
      ),
    copyLink: () =>
      void copyText(location.href).then((done) => {
        if (!done || location.protocol !== 'file:') return copied('Link')(done);
        say(
          'Link copied. It names a file of this machine: a colleague opens their own copy of the page and puts the part from # on behind its address.',
        );
      }),
    copyAnswer: () => void copyText(slideText(now(), facts)).then(copied('Answer in words')),
    saveNotebook: () =>
      saveFile(
        named(`${now().state.view} view`, 'ts'),
        new Blob([notebookOfView(now(), facts)], { type: 'text/plain' }),
      ),
  };
}
