import { isReported } from '../../extraction/reported.ts';
import {
  abstractItems,
  knownChecklistItem,
  networkItems,
  type ReportingItem,
  reportingItemOrder,
  reportingItems,
} from '../../extraction/reportingItems.ts';
import type { Review } from '../../extraction/review.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { placeOf } from '../manuscript/manuscriptDocument.ts';
import type { Manuscript } from '../manuscript/sentence.ts';
import { type NotebookPlace, notebookPlaces } from './notebookPlaces.ts';

export const checklistLists = ['PRISMA 2020', 'abstract', 'network extension'] as const;
export type ChecklistList = (typeof checklistLists)[number];

/**
 * How far an item is answered. `reported`: a person says where. `proposed`: finished sentences or pages answer it, and
 * nobody has confirmed it. `in part`: sentences answer it and have gaps. `not answered`: nothing does.
 */
export const checklistStates = ['reported', 'proposed', 'in part', 'not answered'] as const;
export type ChecklistState = (typeof checklistStates)[number];

/** One item, and where it is answered. */
export interface ChecklistEntry {
  readonly list: ChecklistList;
  readonly item: string;
  readonly section: string;
  readonly gist: string;
  readonly state: ChecklistState;
  /** As typed in checklist.csv, or the places proposed. */
  readonly places: readonly string[];
  /** What the author has to supply for it. */
  readonly toSupply: readonly string[];
  readonly comment: string | undefined;
  readonly row: RowAddress | undefined;
}

export interface ReportingChecklist {
  readonly kind: 'reporting-checklist';
  readonly entries: readonly ChecklistEntry[];
}

export interface ReportingChecklistOptions {
  /** Headings of the notebooks at hand, by page, where these may differ from the project's own. */
  readonly headings?: ReadonlyMap<string, readonly string[]>;
}

/** Items of the main list that hold the material for an item of the abstract. */
const materialFor: Readonly<Record<string, readonly ReportingItem[]>> = {
  A3: ['5'],
  A4: ['6'],
  A5: ['11'],
  A6: ['13d'],
  A7: ['16a', '17'],
  A8: ['20b'],
  A9: ['22'],
  A11: ['25'],
  A12: ['24a'],
};

/**
 * Where is each item of the reporting checklists answered, and which are not?
 *
 * What people typed in checklist.csv counts first. Without it, places are proposed: the paragraphs of the manuscript
 * whose sentences answer the item, and the sections of pages known to show it. An item of the abstract is only answered
 * by a person, since no abstract is written; the paragraphs that hold its material are named.
 *
 * @see Page MJ et al., BMJ 2021;372:n71; Hutton B et al., Ann Intern Med 2015;162:777-784 (gist from memory).
 * @example
 * reportingChecklist(review, manuscriptText(input)).entries.filter(({ state }) => state === 'not answered')
 */
export function reportingChecklist(
  review: Pick<Review, 'protocol' | 'events' | 'checklist'>,
  manuscript: Manuscript,
  options: ReportingChecklistOptions = {},
): ReportingChecklist {
  const typed = new Map(review.checklist.map((row) => [knownChecklistItem(row.item), row]));
  const pages = notebookPlaces.filter((place) => stands(place, review, options.headings));
  const entry = (list: ChecklistList, item: string, section: string, gist: string): ChecklistEntry => {
    const answers = list === 'abstract' ? [] : sentencesOf(manuscript, [item]);
    const toSupply = answers.flatMap(({ gaps }) => gaps);
    const shown = pages.filter((place) => place.items.includes(item));
    const said = typed.get(item);
    const base = { list, item, section, gist, row: said?.row };
    const comment = said !== undefined && isReported(said.comment) ? said.comment : undefined;
    if (said !== undefined && isReported(said.whereReported)) {
      return { ...base, state: 'reported', places: [said.whereReported], toSupply: [], comment };
    }
    const proposed = [
      ...new Set(answers.filter(({ finished }) => finished > 0).map(({ place }) => place)),
      ...shown.map(({ page, heading }) => `${page}.html: ${heading}`),
    ];
    const state: ChecklistState =
      proposed.length === 0 ? 'not answered' : toSupply.length > 0 ? 'in part' : 'proposed';
    const material = [...new Set(sentencesOf(manuscript, materialFor[item] ?? []).map(({ place }) => place))];
    const hint =
      list === 'abstract' && material.length > 0 ? `Material in ${material.join('; ')}.` : undefined;
    return { ...base, state, places: proposed, toSupply, comment: comment ?? hint };
  };
  return {
    kind: 'reporting-checklist',
    entries: [
      ...reportingItemOrder.map((item) =>
        entry('PRISMA 2020', item, reportingItems[item].section, reportingItems[item].gist),
      ),
      ...Object.entries(abstractItems).map(([item, gist]) => entry('abstract', item, 'Abstract', gist)),
      ...Object.entries(networkItems).map(([item, gist]) =>
        entry('network extension', item, item === 'S1' || item === 'S2' ? 'Methods' : 'Results', gist),
      ),
    ],
  };
}

/** Paragraphs with sentences on some items: how many are finished, and what the others lack. */
function sentencesOf(
  manuscript: Manuscript,
  items: readonly string[],
): readonly { readonly place: string; readonly finished: number; readonly gaps: readonly string[] }[] {
  return manuscript.paragraphs.flatMap((paragraph) => {
    const own = paragraph.sentences.filter(({ item }) => items.includes(item));
    if (own.length === 0) return [];
    const gaps = own.flatMap(({ toSupply }) => toSupply);
    return [
      {
        place: placeOf(paragraph),
        finished: own.filter(({ toSupply }) => toSupply.length === 0).length,
        gaps,
      },
    ];
  });
}

function stands(
  { page, heading, needs = [] }: NotebookPlace,
  { protocol, events }: Pick<Review, 'protocol' | 'events'>,
  headings: ReportingChecklistOptions['headings'],
): boolean {
  if (headings !== undefined && headings.get(page)?.includes(heading) !== true) return false;
  return needs.every(
    (id) =>
      protocol.outcomes.some((outcome) => outcome.id === id) && events.some(({ outcome }) => outcome === id),
  );
}
