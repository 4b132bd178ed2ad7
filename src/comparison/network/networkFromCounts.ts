import type { Count } from '../../effects/estimate.ts';
import { amountToAdd, type ZeroEvents } from '../../effects/zeroEvents.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { pooledSites } from '../../extraction/site.ts';
import { checkCounts } from '../../pooling/checkCounts.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
import { type NetworkArm, networkStudyFromArms } from './networkFromArms.ts';
import type { NetworkLeftOut, NetworkStudies, NetworkStudy } from './networkStudy.ts';

/** Measures by which the counts of two arms can be compared in a network. */
export const networkMeasures = ['log-odds-ratio', 'log-risk-ratio', 'risk-difference'] as const;
export type NetworkMeasure = (typeof networkMeasures)[number];

/** The node an arm belongs to; undefined keeps it out of the network. */
export type NodeOfArm = (arm: ArmEvents) => string | undefined;

export interface NetworkFromCountsOptions {
  /** Default `log-odds-ratio`. */
  readonly measure?: NetworkMeasure;
  /** What to do where an arm has no finite value; default `leave-out`. */
  readonly zeroEvents?: ZeroEvents;
  /** Default {@link siteOfArm}: the four pooled sites. Split a site (inlay, onlay) or merge several here. */
  readonly node?: NodeOfArm;
}

/** The four pooled sites are nodes; soft-tissue and unclassified arms are not. */
export const siteOfArm: NodeOfArm = (arm) =>
  (pooledSites as readonly string[]).includes(arm.site) ? arm.site : undefined;

/** Arms of one study at one node, counted together. */
export interface NodeCount extends Count {
  readonly treatment: string;
  readonly arms: readonly ArmEvents[];
}

/** The studies of a selection with their arms gathered by node; arms of one study at one node are added up. */
export function countsByNode(
  arms: readonly ArmEvents[],
  node: NodeOfArm = siteOfArm,
): readonly { readonly first: ArmEvents; readonly nodes: readonly NodeCount[] }[] {
  checkCounts(arms);
  const byStudy = new Map<string, Map<string, ArmEvents[]>>();
  const firsts = new Map<string, ArmEvents>();
  for (const arm of arms) {
    const treatment = node(arm);
    if (treatment === undefined) continue;
    let nodes = byStudy.get(arm.study);
    if (nodes === undefined) {
      nodes = new Map();
      byStudy.set(arm.study, nodes);
      firsts.set(arm.study, arm);
    }
    const own = nodes.get(treatment);
    if (own === undefined) nodes.set(treatment, [arm]);
    else own.push(arm);
  }
  return [...byStudy].map(([study, nodes]) => ({
    first: firsts.get(study)!,
    nodes: [...nodes].map(([treatment, own]) => ({
      treatment,
      events: own.reduce((sum, { events }) => sum + events, 0),
      total: own.reduce((sum, { total }) => sum + total, 0),
      arms: own,
    })),
  }));
}

/**
 * Which studies of a selection compare two or more nodes, and how do their arms differ?
 *
 * Odds ratio: arm value ln(x/(n−x)), variance 1/x + 1/(n−x). Risk ratio: ln(x/n), 1/x − 1/n. Risk difference: x/n,
 * p(1−p)/n. Contrasts and their covariance follow from the arms ({@link networkStudyFromArms}).
 *
 * Zero cells: with `leave-out` an arm without a finite value and variance is dropped, and the study with it when
 * fewer than two arms remain; with an amount stated, the amount goes to every cell of a study that needs it. A study
 * without any event (or with nothing but events) says nothing about a ratio and is left out always.
 *
 * @throws RangeError for an unknown option or value
 * @see Cochrane Handbook, section 10.4.4 (zero cells).
 * @example
 * networkFromCounts(selection.arms, { measure: 'log-odds-ratio', zeroEvents: { addToEachCell: 0.5 } }).studies
 */
export function networkFromCounts(
  arms: readonly ArmEvents[],
  options: NetworkFromCountsOptions = {},
): NetworkStudies {
  checkOptionNames(options, ['measure', 'zeroEvents', 'node']);
  const measure = checkChoice('measure', options.measure ?? 'log-odds-ratio', networkMeasures);
  const amount = amountToAdd(options.zeroEvents ?? 'leave-out');
  const studies: NetworkStudy[] = [];
  const leftOut: NetworkLeftOut[] = [];
  for (const { first, nodes } of countsByNode(arms, options.node)) {
    if (nodes.length < 2) continue;
    const leave = (reason: string): void => {
      leftOut.push({ study: first.study, label: first.label, reason });
    };
    const ratio = measure !== 'risk-difference';
    if (ratio && nodes.every(({ events }) => events === 0)) {
      leave('no events in any arm, which says nothing about a ratio');
      continue;
    }
    if (ratio && nodes.every(({ events, total }) => events === total)) {
      leave('nothing but events in every arm, which says nothing about a ratio');
      continue;
    }
    const plain = nodes.map((each) => armValue(measure, each, 0));
    const added = amount > 0 && plain.some((arm) => arm === undefined) ? amount : 0;
    const values = added > 0 ? nodes.map((each) => armValue(measure, each, added)) : plain;
    const usable = values.flatMap((value, i) => (value === undefined ? [] : [{ value, node: nodes[i]! }]));
    for (const [i, value] of values.entries())
      if (value === undefined)
        leave(
          `${nodes[i]!.events === 0 ? 'no events' : 'nothing but events'} in the arm at ${nodes[i]!.treatment}, so it has no finite value or no sampling variance`,
        );
    if (usable.length < 2) {
      if (usable.length === 1) leave('only one arm with a value remains, so there is nothing to compare');
      continue;
    }
    studies.push(
      networkStudyFromArms(
        {
          study: first.study,
          label: first.label,
          design: first.design,
          scale: measure,
          counts: usable.map(({ node }) => ({ events: node.events, total: node.total })),
          addedToEachCell: added,
          rows: usable.flatMap(({ node }) => node.arms.map(({ row }) => row)),
        },
        usable.map(({ value }) => value),
      ),
    );
  }
  return { studies, leftOut };
}

function armValue(measure: NetworkMeasure, node: NodeCount, amount: number): NetworkArm | undefined {
  const events = node.events + amount;
  const total = node.total + 2 * amount;
  const { treatment } = node;
  const [value, variance] =
    measure === 'log-odds-ratio'
      ? [Math.log(events / (total - events)), 1 / events + 1 / (total - events)]
      : measure === 'log-risk-ratio'
        ? [Math.log(events / total), 1 / events - 1 / total]
        : [events / total, (events * (total - events)) / total ** 3];
  return Number.isFinite(value) && variance > 0 && Number.isFinite(variance)
    ? { treatment, value, variance }
    : undefined;
}
