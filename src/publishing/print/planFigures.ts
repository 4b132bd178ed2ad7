import { answersOf } from '../../answers/answersOf.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { forestPlot } from '../../figures/forestPlot.ts';
import { countOf, levelText } from '../../figures/formatNumber.ts';
import { funnelPlot } from '../../figures/funnelPlot.ts';
import { besideTold, toldKey } from '../../figures/quotedWords.ts';
import { sitesOverview } from '../../figures/sitesOverview.ts';
import { countsBeside } from '../../pooling/armsInNumber.ts';
import type { SitePool, SitePools } from '../../pooling/poolBySite.ts';
import { notInPoolText } from '../../tables/rateText.ts';
import { planComparisons } from './planComparisons.ts';
import { planReview } from './planReview.ts';
import type { PlannedFigure, PrintFigureName } from './printFigure.ts';

export interface OutcomeAtSites {
  readonly outcome: EventsOutcome;
  readonly pools: SitePools;
}

export interface FigureChoice {
  /** Only figures of this outcome. */
  readonly outcome?: string;
  /** Only figures of this name. */
  readonly only?: PrintFigureName;
}

/**
 * The figures a paper on this review needs: rates by site of every outcome together and one by one, rates against
 * size, the map of comparisons, site against site in layers, each pair with three studies or more, who reports what,
 * how well the studies were done, and the flow from search to inclusion. Outcomes that no arm reports are left out.
 */
export function planFigures(review: Review, choice: FigureChoice = {}): readonly PlannedFigure[] {
  const wanted = (name: PrintFigureName): boolean => choice.only === undefined || choice.only === name;
  const outcomes = review.protocol.outcomes
    .filter((outcome) => outcome.kind === 'events')
    .filter(({ id }) => choice.outcome === undefined || choice.outcome === id)
    .map((outcome) => ({ outcome, pools: answersOf(review).counts(outcome.id).pools }))
    .filter(({ pools }) => pools.sites.some(({ pool }) => pool.arms.length > 0));
  const overall = choice.outcome === undefined;
  return [
    ...(overall && wanted('overview') && outcomes.length > 0 ? [planOverview(outcomes)] : []),
    ...outcomes.flatMap((each) => [
      ...(wanted('forest') ? [planForest(each)] : []),
      ...(wanted('funnel') ? [planFunnel(each)] : []),
      ...planComparisons(review, each, wanted),
    ]),
    ...(overall ? planReview(review, wanted) : []),
  ];
}

function counts({ name, pool }: SitePool): string {
  if (pool.arms.length === 0) return `${name}: no study`;
  const { studies, shoulders, events } = countsBeside(pool);
  const outside = notInPoolText(pool);
  const beside = pool.headline === undefined ? ', no pooled rate' : outside === '' ? '' : `; ${outside}`;
  return `${name}: ${countOf(studies, 'study', 'studies')}, ${events} of ${countOf(shoulders, 'shoulder')}${beside}`;
}

/** The method of the first site that pools, and that the others differ in counts alone. */
function method({ sites }: SitePools, outcome?: string): readonly string[] {
  const pooled = sites.filter(({ pool }) => pool.headline !== undefined);
  const first = pooled[0];
  if (first === undefined) return [];
  if (outcome === undefined && pooled.length === 1) return [first.pool.methodsSentence];
  const place = outcome === undefined ? first.name : `${outcome}, ${first.name.toLowerCase()}`;
  return [
    `${place}: ${first.pool.methodsSentence}`,
    `The other ${outcome === undefined ? 'sites' : 'outcomes and sites'} were pooled in the same way.`,
  ];
}

/** What the triangles of a forest plot stand for. */
function triangles({ sites }: SitePools): string {
  const names = [...new Set(sites.flatMap(({ pool }) => besideTold(pool).map(({ meaning }) => meaning)))];
  return names.length === 0 ? '' : `open triangle: ${names.join('; ')}; `;
}

function planForest({ outcome, pools }: OutcomeAtSites): PlannedFigure {
  const title = `${outcome.name}, per 100 shoulders`;
  const level = levelText(pools.sites[0]?.pool.twoStep.options.level ?? 0.95);
  const marks = (part: SitePools): string =>
    `Each line is one arm with its events and shoulders, its rate and ${level} Wilson interval, and its share of the weight at its site, ` +
    `which is also the area of the disc. Bar with notch: ${toldKey(part.sites)}. Where drawn, hatched bracket: range expected in a new study; ` +
    `${triangles(part)}open ring: an arm without weight in the rate.`;
  const planned = (file: string, heading: string, part: SitePools): PlannedFigure => ({
    name: 'forest',
    file,
    outcome: outcome.id,
    title: heading,
    draw: (frame) => forestPlot(part, { ...frame, title: heading }),
    legend: [
      marks(part),
      ...(part.sites.length > 0 ? [`${part.sites.map(counts).join('. ')}.`] : []),
      ...method(part),
      part.notAComparison,
    ],
  });
  const { outside } = pools;
  const reported = pools.sites.filter(({ pool }) => pool.arms.length > 0);
  return {
    ...planned(`forest-${outcome.id}`, title, pools),
    parts: [
      ...reported.map((site) =>
        planned(`forest-${outcome.id}-${site.site}`, `${title}: ${site.name.toLowerCase()}`, {
          ...pools,
          sites: [site],
          outside: [],
        }),
      ),
      ...(outside.length > 0
        ? [
            {
              ...planned(`forest-${outcome.id}-outside`, `${title}: outside the four sites`, {
                ...pools,
                sites: [],
              }),
              legend: [
                `Each line is one arm fixed to soft tissue or at a site that is unclear: its events and shoulders, and its rate with the ${level} Wilson interval. They belong to none of the four sites and were not pooled.`,
              ],
            },
          ]
        : []),
    ],
  };
}

function planFunnel({ outcome, pools }: OutcomeAtSites): PlannedFigure {
  const title = `${outcome.name}: rate against size of the arm`;
  return {
    name: 'funnel',
    file: `funnel-${outcome.id}`,
    outcome: outcome.id,
    title,
    draw: (frame) => funnelPlot(pools, { ...frame, title }),
    legend: [
      'Each mark is one arm, its shape the site: the rate against the number of shoulders, because the standard error of a low rate moves with the rate itself. Dashed lines: the rates that are told, as in the forest plot of this outcome.',
      `${pools.sites.map(counts).join('. ')}.`,
      'A lean can come from small series left unpublished, and as well from patients, surgeons and definitions that differ with size.',
      pools.notAComparison,
    ],
  };
}

function planOverview(outcomes: readonly OutcomeAtSites[]): PlannedFigure {
  const whole = 'Rates per 100 shoulders by fixation site';
  const planned = (file: string, title: string, part: readonly OutcomeAtSites[]): PlannedFigure => ({
    name: 'overview',
    file,
    outcome: undefined,
    title,
    draw: (frame) =>
      sitesOverview(
        part.map(({ outcome, pools }) => ({ outcome: outcome.name, pools })),
        { ...frame, title },
      ),
    legend: [
      `Bar with notch: ${toldKey(part.flatMap(({ pools }) => pools.sites))}. Triangle below it: DerSimonian-Laird. Hatched bracket: range expected in a new study. Each outcome has its own axis.`,
      ...part.map(({ outcome, pools }) => `${outcome.name}: ${pools.sites.map(counts).join('; ')}.`),
      ...(part[0] === undefined
        ? []
        : [...method(part[0].pools, part[0].outcome.name), part[0].pools.notAComparison]),
    ],
  });
  const halves = (part: readonly OutcomeAtSites[], from: number): PlannedFigure => {
    const last = from + part.length;
    const title = `${whole}, outcomes ${from + 1} to ${last} of ${outcomes.length}`;
    const one = planned(`overview-${from + 1}-to-${last}`, title, part);
    const half = Math.ceil(part.length / 2);
    return part.length < 2
      ? one
      : { ...one, parts: [halves(part.slice(0, half), from), halves(part.slice(half), from + half)] };
  };
  return { ...halves(outcomes, 0), ...planned('overview', whole, outcomes) };
}
