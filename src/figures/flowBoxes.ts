import type { FlowCounts } from '../extraction/flowCounts.ts';
import { isReported, type Reported } from '../extraction/reported.ts';
import type { FlowStage } from '../extraction/sheets/flowSheet.ts';

/** One line of a box: words, and the count where the line has one. */
export interface FlowLine {
  readonly text: string;
  readonly count?: Reported<number>;
  /** A source or reason under the line before it. */
  readonly part?: boolean;
}

/** A box of the flow: what goes on, or what falls out. */
export interface FlowBox {
  readonly lines: readonly FlowLine[];
  readonly side: 'on' | 'out';
}

/** One step: the box on the way down, and the one beside it for what falls out. */
export interface FlowStep {
  readonly on?: FlowBox;
  readonly out?: FlowBox;
}

/** The boxes of the flow in the standard's words, top to bottom. */
export interface FlowBoxes {
  readonly identification: FlowStep;
  readonly screening: readonly FlowStep[];
  /** The parallel column; undefined when everything came from databases and registers. */
  readonly other: { readonly identification: FlowStep; readonly screening: readonly FlowStep[] } | undefined;
  /** For an update: the earlier version beside what is new. */
  readonly previous: FlowBox | undefined;
  readonly added: FlowBox | undefined;
  readonly included: FlowBox;
}

/** Parts in the standard's words where a person used its idea in theirs. */
function standardPart(stage: FlowStage, detail: string): string {
  if (stage !== 'records removed before screening') return detail;
  if (/^duplicates?( records?)?$/i.test(detail)) return 'Duplicate records removed';
  if (/^automation( tools?)?$/i.test(detail)) return 'Records marked as ineligible by automation tools';
  if (/^other( reasons?)?$/i.test(detail)) return 'Records removed for other reasons';
  return detail;
}

/**
 * What stands in each box?
 *
 * Words and boxes of the PRISMA 2020 flow diagram: Page MJ, McKenzie JE, Bossuyt PM et al., BMJ 2021;372:n71, figure 1
 * (CC BY); versions for new and updated reviews, with and without other sources.
 */
export function flowBoxes(flow: FlowCounts): FlowBoxes {
  const box = (side: FlowBox['side'], ...lines: readonly (readonly FlowLine[])[]): FlowBox => ({
    side,
    lines: lines.flat(),
  });
  const line = (text: string, stage: FlowStage): readonly FlowLine[] => {
    const { total, parts } = flow.counts[stage];
    const named = parts.flatMap(({ detail, count }) =>
      isReported(detail) ? [{ text: standardPart(stage, detail), count, part: true }] : [],
    );
    return [
      { text: named.length > 0 || !text.endsWith(' from') ? text : text.slice(0, -5), count: total },
      ...named,
    ];
  };
  const whole = (text: string, stage: FlowStage): readonly FlowLine[] => [
    { text, count: flow.counts[stage].total },
  ];
  const sought = (start: '' | 'other '): readonly FlowStep[] => [
    {
      on: box('on', line('Reports sought for retrieval', `${start}reports sought`)),
      out: box('out', line('Reports not retrieved', `${start}reports not retrieved`)),
    },
    {
      on: box('on', line('Reports assessed for eligibility', `${start}reports assessed`)),
      out: box('out', line('Reports excluded', `${start}reports excluded`)),
    },
  ];
  return {
    identification: {
      on: box('on', line('Records identified from', 'records identified')),
      out: box('out', line('Records removed before screening', 'records removed before screening')),
    },
    screening: [
      {
        on: box('on', line('Records screened', 'records screened')),
        out: box('out', line('Records excluded', 'records excluded')),
      },
      ...sought(''),
    ],
    other: flow.otherSources
      ? {
          identification: {
            on: box('on', line('Records identified from', 'other records identified')),
          },
          screening: sought('other '),
        }
      : undefined,
    previous: flow.update
      ? box(
          'on',
          whole('Studies included in previous version of review', 'previous studies included'),
          whole('Reports of studies included in previous version', 'previous reports included'),
        )
      : undefined,
    added: flow.update
      ? box(
          'on',
          whole('New studies included in review', 'new studies included'),
          whole('Reports of new included studies', 'new reports included'),
        )
      : undefined,
    included: flow.update
      ? box(
          'on',
          whole('Total studies included in review', 'studies included'),
          whole('Reports of total included studies', 'reports included'),
        )
      : box(
          'on',
          whole('Studies included in review', 'studies included'),
          whole('Reports of included studies', 'reports included'),
        ),
  };
}
