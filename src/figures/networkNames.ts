import { type ClassifiedSite, siteNames } from '../extraction/site.ts';
import { palette, siteColours } from './palette.ts';

/** Treatments as printed, by id; sites have theirs already. */
export type TreatmentNames = Readonly<Record<string, string>>;

export const treatmentName = (treatment: string, names: TreatmentNames = {}): string =>
  names[treatment] ?? siteNames[treatment as ClassifiedSite] ?? treatment;

/** "Top of groove – subpectoral": two treatments as a row label. */
export const pairName = (treatment: string, comparator: string, names: TreatmentNames = {}): string => {
  const second = treatmentName(comparator, names);
  return `${treatmentName(treatment, names)} \u2013 ${comparator in siteNames && !(comparator in names) ? second.toLowerCase() : second}`;
};

export const treatmentColour = (treatment: string): string =>
  siteColours[treatment as ClassifiedSite] ?? palette.comparison;

export const isSite = (treatment: string): treatment is ClassifiedSite => treatment in siteNames;
