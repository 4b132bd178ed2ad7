import { checkChoice, checkLevel, checkOptionNames, show } from '../optionChecks.ts';
import { twoArmMethods } from './twoArmMethods.ts';
import {
  type ResolvedTwoArmOptions,
  type TwoArmOptions,
  twoArmMethodNames,
  twoArmOptionKeys,
} from './twoArmOptions.ts';
import { checkZeroCells } from './zeroCells.ts';

/**
 * Fills in the defaults of a pool of two-arm counts.
 *
 * @throws RangeError for an unknown option, or a value the method does not allow, naming the allowed ones
 */
export function resolveTwoArmOptions(options: TwoArmOptions): ResolvedTwoArmOptions {
  checkOptionNames(options, twoArmOptionKeys);
  const method = checkChoice('method', options.method, twoArmMethodNames);
  const entry = twoArmMethods[method];
  const of = (name: string): string => `${name} of ${method}`;
  const measure = checkChoice(of('measure'), options.measure ?? entry.measures[0]!, entry.measures);
  const zeroCells = options.zeroCells ?? 'none';
  checkZeroCells(zeroCells);
  if (!entry.takesZeroCells && zeroCells !== 'none') {
    throw new RangeError(`${of('zeroCells')} must be none, received ${show(JSON.stringify(zeroCells))}`);
  }
  const variances = measure === 'risk-difference' ? entry.variances : [];
  if (variances.length === 0 && options.variance !== undefined) {
    throw new RangeError(
      `${of('variance')} cannot be chosen for ${measure}, received ${show(options.variance)}`,
    );
  }
  if (options.twoStep !== undefined && method !== 'arcsine-difference') {
    throw new RangeError(`${of('twoStep')} cannot be given: it belongs to arcsine-difference`);
  }
  return {
    method,
    measure,
    level: checkLevel(options.level ?? 0.95),
    model: checkChoice(of('model'), options.model ?? entry.models[0]!, entry.models),
    interval: checkChoice(of('interval'), options.interval ?? entry.intervals[0]!, entry.intervals),
    variance:
      variances.length === 0
        ? undefined
        : checkChoice(of('variance'), options.variance ?? variances[0]!, variances),
    zeroCells,
    quadraturePoints: quadraturePoints(
      options.quadraturePoints,
      entry.quadraturePoints,
      of('quadraturePoints'),
    ),
    twoStep: options.twoStep,
  };
}

function quadraturePoints(
  asked: number | undefined,
  standard: readonly number[],
  name: string,
): readonly number[] {
  if (asked === undefined) return standard;
  if (standard.length === 0) {
    throw new RangeError(`${name} cannot be given: the method does not integrate`);
  }
  if (!(Number.isInteger(asked) && asked >= 7 && asked <= 100)) {
    throw new RangeError(`${name} must be a whole number from 7 to 100, received ${show(asked)}`);
  }
  return [asked];
}
