// Reviews on which decisions are tried: the demo with rows added, all invented.
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';

type Cells = Readonly<Record<string, string>>;

/** The same files with rows added at the end of sheets. */
export function withRows(
  files: Readonly<Record<string, string>>,
  added: Readonly<Record<string, readonly Cells[]>>,
): Readonly<Record<string, string>> {
  const changed = Object.entries(added).map(([file, rows]) => {
    const sheet: string[][] = parse(files[file]!);
    const headings = sheet[0]!;
    const unknown = rows.flatMap((row) => Object.keys(row).filter((key) => !headings.includes(key)));
    if (unknown.length > 0) throw new RangeError(`${file} has no ${unknown.join(', ')}`);
    return [file, stringify([...sheet, ...rows.map((row) => headings.map((heading) => row[heading] ?? ''))])];
  });
  return { ...files, ...Object.fromEntries(changed) };
}

const study = 'ashvale-2025';
const arm = (site: string, events: string): { readonly arm: Cells; readonly events: Cells } => ({
  arm: {
    study,
    arm: site,
    site_as_reported: site === 'top-of-groove' ? 'at the articular margin' : 'above the pectoralis major',
    site_as_classified: site,
    shoulders_enrolled: '30',
    shoulders_analysed: '30',
    follow_up_mean_months: '24',
  },
  events: {
    study,
    arm: site,
    outcome: 'groove-pain',
    definition: 'groove tenderness',
    assessor: 'examiner',
    follow_up_months: '24',
    events,
    eligible_shoulders: '30',
  },
});
const [top, below] = [arm('top-of-groove', '12'), arm('suprapectoral', '4')];

/** A trial of 30 and 30 shoulders at high risk of bias, with groove pain in 12 and in 4. */
export const trialOfGroovePain: Readonly<Record<string, readonly Cells[]>> = {
  'studies.csv': [
    {
      study,
      label: 'Ashvale 2025',
      year: '2025',
      country: 'Vardia',
      report_kind: 'primary',
      design: 'randomised trial',
    },
  ],
  'arms.csv': [top.arm, below.arm],
  'events.csv': [top.events, below.events],
  'judgements.csv': (
    [
      ['randomisation process', 'high'],
      ['deviations from intended interventions', 'low'],
      ['missing outcome data', 'low'],
      ['measurement of the outcome', 'low'],
      ['selection of the reported result', 'low'],
      ['overall', 'high'],
    ] as const
  ).map(([item, judgement]) => ({ study, tool: 'RoB 2', item, judgement })),
};
