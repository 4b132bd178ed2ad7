import type { ZeroEvents } from '../../effects/zeroEvents.ts';
import { sameDefinition } from '../../extraction/definitions.ts';
import {
  type EventsOutcome,
  midGrooveRules,
  overlapRules,
  type WindowMonths,
} from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { studyDesigns } from '../../extraction/sheets/studiesSheet.ts';
import { type ChoiceGrid, choiceDimensions } from './choiceGrid.ts';

/** Options of a dimension to use in place of the usual ones; the protocol's own is put first where it is missing. */
export type ChoiceOverrides = Partial<ChoiceGrid>;

/**
 * Which analyses of this outcome could a careful reader defend?
 *
 * The usual alternatives to each of the protocol's decisions, the protocol's own always first: the three mid-groove
 * rules; its definitions, the strictest alone, and every definition and assessor found in the sheet; its time window,
 * from two years on, and any time; its designs, comparative designs only, and without studies of low quality; the
 * three overlap rules; logit, log and arcsine scales; leaving arms without events out, or adding one half; common
 * effect and four variance estimators; four intervals. Options that come to the same are kept once. The raw scale and
 * the double arcsine are left out, since few would defend them near zero; name them to have them run.
 *
 * @param overrides replace a dimension's options; a list of one fixes it
 * @throws RangeError for an unknown outcome, an unknown dimension or an empty list
 *
 * @example
 * declareChoices(review, 'groove-pain', { scale: ['logit'] })
 */
export function declareChoices(
  review: Pick<Review, 'protocol' | 'events'>,
  outcomeId: string,
  overrides: ChoiceOverrides = {},
): ChoiceGrid {
  const { protocol } = review;
  const outcome = protocol.outcomes.find(
    (each): each is EventsOutcome => each.kind === 'events' && each.id === outcomeId,
  );
  if (outcome === undefined) throw new RangeError(`unknown outcome counted as events: "${outcomeId}"`);
  for (const [name, list] of Object.entries(overrides)) {
    if (!(choiceDimensions as readonly string[]).includes(name)) {
      throw new RangeError(`unknown dimension "${name}", they are ${choiceDimensions.join(', ')}`);
    }
    if (!Array.isArray(list) || list.length === 0)
      throw new RangeError(`${name} must list at least one option`);
  }
  const { analysis } = protocol;
  const designs = protocol.designs ?? studyDesigns;
  const comparative = designs.filter((design) => design !== 'case series');
  const rows = review.events.filter((row) => row.outcome === outcomeId);
  const window = outcome.windowMonths;
  const lastMonth = window?.maximum ?? 600;
  const half: ZeroEvents = { addToEachCell: 0.5 };
  const first = <T>(own: T, others: readonly T[], same: (a: T, b: T) => boolean = Object.is): T[] => {
    const kept = [own];
    for (const other of others) if (!kept.some((each) => same(each, other))) kept.push(other);
    return kept;
  };
  return {
    midGroove: first(protocol.siteRule.midGroove, overrides.midGroove ?? midGrooveRules),
    definition: first(
      { name: 'as the protocol accepts', definitions: outcome.definitions, assessors: outcome.assessors },
      overrides.definition ?? [
        {
          name: 'best definition only',
          definitions: outcome.definitions.slice(0, 1),
          assessors: outcome.assessors,
        },
        {
          name: 'any definition, anyone looking',
          definitions: withFound(
            outcome.definitions,
            rows.map((row) => row.definition),
          ),
          assessors: withFound(
            outcome.assessors,
            rows.map((row) => row.assessor),
          ),
        },
      ],
      (a, b) => same([a.definitions, a.assessors], [b.definitions, b.assessors]),
    ),
    window: first(
      { name: windowName(window ?? null), windowMonths: window ?? null },
      overrides.window ?? [
        ...(lastMonth > 24 ? [named({ minimum: 24, maximum: lastMonth })] : []),
        named(null),
      ],
      (a, b) => same(a.windowMonths, b.windowMonths),
    ),
    inclusion: first(
      { name: 'as the protocol includes', designs, withoutLowQuality: false },
      overrides.inclusion ?? [
        ...(comparative.length > 0
          ? [{ name: 'without case series', designs: comparative, withoutLowQuality: false }]
          : []),
        { name: 'without low quality', designs, withoutLowQuality: true },
      ],
      (a, b) => same([a.designs, a.withoutLowQuality], [b.designs, b.withoutLowQuality]),
    ),
    overlap: first(protocol.overlapRule, overrides.overlap ?? overlapRules),
    scale: first(analysis.rateScale, overrides.scale ?? ['logit', 'log', 'arcsine']),
    zeroEvents: first<ZeroEvents>(analysis.zeroEvents, overrides.zeroEvents ?? ['leave-out', half], same),
    estimator: first(
      analysis.model === 'common-effect' ? 'common-effect' : analysis.betweenStudyVariance,
      overrides.estimator ?? [
        'common-effect',
        'dersimonian-laird',
        'paule-mandel',
        'restricted-maximum-likelihood',
        'sidik-jonkman',
      ],
    ),
    interval: first(
      analysis.interval,
      overrides.interval ?? ['wald', 'student-t', 'hartung-knapp', 'truncated-hartung-knapp'],
    ),
  };
}

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);
const named = (windowMonths: WindowMonths | null) => ({ name: windowName(windowMonths), windowMonths });

function windowName(window: WindowMonths | null): string {
  if (window === null) return 'any time';
  return window.maximum >= 600
    ? `from ${window.minimum} months on`
    : `${window.minimum} to ${window.maximum} months`;
}

/** The accepted words, then those found in the sheet that are not among them. */
function withFound(accepted: readonly string[], found: readonly string[]): string[] {
  const all = [...accepted];
  for (const word of found) {
    if (word !== '' && !all.some((each) => sameDefinition(each, word))) all.push(word);
  }
  return all;
}
