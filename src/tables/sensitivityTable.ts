import { rowsOfArm } from '../extraction/armEvents.ts';
import { countsBeside } from '../pooling/armsInNumber.ts';
import type { SitePools } from '../pooling/poolBySite.ts';
import { markAnswer } from '../wording/answerMark.ts';
import { listed } from '../wording/words.ts';
import { methodsDiffer, notInNumberNotes, rateCells, rateFileColumns } from './ratesBySiteTable.ts';
import { otherMethodOf, percentDigits, percentLimits } from './rateText.ts';
import { type Table, table } from './table.ts';

/** One way to analyse an outcome, named, with its pools. */
export interface NamedPools {
  readonly name: string;
  readonly pools: SitePools;
}

/**
 * Several ways to analyse one outcome side by side: one row for each site and way.
 *
 * @throws when no way is given
 */
export function sensitivityTable(
  ways: readonly NamedPools[],
  options: { readonly caption?: string; readonly wayHeading?: string } = {},
): Table {
  const [first] = ways;
  if (first === undefined) throw new RangeError('sensitivityTable needs at least one way');
  const rowsOf = ({ pool }: SitePools['sites'][number]) => pool.arms.flatMap(rowsOfArm);
  const lines = first.pools.sites.flatMap(({ site, name }) => {
    const found = ways.flatMap((way) =>
      way.pools.sites
        .filter((other) => other.site === site)
        .map((each) => ({ way: way.name, cells: rateCells(each.pool), sources: rowsOf(each) })),
    );
    const [one] = found;
    const alike = found.every(({ cells }) => JSON.stringify(cells) === JSON.stringify(one?.cells));
    if (one !== undefined && alike && found.length > 1)
      return [
        {
          row: { site: name, way: 'the same in each', ...one.cells },
          sources: found.flatMap(({ sources }) => sources),
        },
      ];
    return found.map(({ way, cells, sources }) => ({ row: { site: name, way, ...cells }, sources }));
  });
  return table({
    caption: options.caption ?? 'The same outcome, analysed in several ways',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'way', heading: options.wayHeading ?? 'Way' },
      { key: 'rate', heading: 'Per 100 shoulders', align: 'right', shownIn: 'page' },
      { key: 'interval', heading: 'Interval', align: 'right', shownIn: 'page' },
      { key: 'prediction', heading: 'Next study', align: 'right', shownIn: 'page' },
      ...rateFileColumns,
      { key: 'studies', heading: 'Studies', align: 'right' },
      { key: 'shoulders', heading: 'Shoulders', align: 'right' },
      { key: 'events', heading: 'Events', align: 'right' },
    ],
    rows: lines.map(({ row }) => row),
    sources: lines.map(({ sources }) => sources),
  });
}

/**
 * Many outcomes, one row each, with every site in a column: rate per 100 shoulders, interval and studies.
 */
export function overviewTable(
  outcomes: readonly NamedPools[],
  options: { readonly caption?: string } = {},
): Table {
  const sites = outcomes[0]?.pools.sites ?? [];
  const others = [
    ...new Set(
      outcomes.flatMap(({ pools }) => pools.sites.flatMap(({ pool }) => otherMethodOf(pool)?.words ?? [])),
    ),
  ];
  return table({
    caption: options.caption ?? 'Per 100 shoulders at each site',
    columns: [
      { key: 'outcome', heading: 'Outcome' },
      ...sites.map(({ site, name }) => ({ key: site, heading: name, shownIn: 'page' as const })),
      ...sites.flatMap(({ site }) =>
        ['answer', 'rate', 'interval_lower', 'interval_upper', 'studies', 'shoulders', 'events'].map(
          (part) => ({
            key: `${site} ${part}`,
            heading: `${site.replaceAll('-', '_')}_${part}`,
            shownIn: 'file' as const,
          }),
        ),
      ),
    ],
    sources: outcomes.map(({ pools }) => pools.sites.flatMap(({ pool }) => pool.arms.flatMap(rowsOfArm))),
    rows: outcomes.map(({ name, pools }) => ({
      outcome: name,
      ...Object.fromEntries(
        pools.sites.flatMap(({ site, pool, answer }) => [
          [site, overviewCell(pool, answer)],
          [`${site} answer`, answer],
          [`${site} rate`, pool.headline?.rate],
          [`${site} interval_lower`, pool.headline?.interval.lower],
          [`${site} interval_upper`, pool.headline?.interval.upper],
          [`${site} studies`, pool.studies],
          [`${site} shoulders`, pool.shoulders],
          [`${site} events`, pool.events],
        ]),
      ),
    })),
    notes: [
      ...(outcomes[0] === undefined ? [] : [outcomes[0].pools.notAComparison]),
      ...outcomes.flatMap(({ name, pools }) =>
        notInNumberNotes(pools.sites).map(
          (note) => `‡ ${name}, ${note.charAt(0).toLowerCase()}${note.slice(1)}`,
        ),
      ),
      ...(others.length === 0
        ? []
        : [`† The method matters here: another rate is given by ${listed(others)}.`]),
    ],
  });
}

function overviewCell(pool: SitePools['sites'][number]['pool'], answer: string | undefined): string {
  const { headline } = pool;
  if (pool.arms.length === 0) return 'no study';
  const { studies } = countsBeside(pool);
  const basis = `${studies} ${studies === 1 ? 'study' : 'studies'}${headline !== undefined && pool.armsNotInNumber.length > 0 ? '‡' : ''}`;
  if (headline === undefined) return `not pooled; ${unbroken(basis)}`;
  const rate = headline.basis === 'exact' && headline.rate === 0 ? 'none seen' : percentDigits(headline.rate);
  const mark = methodsDiffer(pool) ? '†' : '';
  const told = markAnswer(answer, unbroken(`${rate}${mark} (${percentLimits(headline.interval)})`));
  return `${told}; ${unbroken(basis)}`;
}

/** Words that stay on one line of a cell. */
function unbroken(text: string): string {
  return text.replaceAll(' ', '\u00a0');
}
