import { demoProtocol } from '../../data-extraction/demo-source/demoProtocol.ts';
import { pooledSites } from '../../src/extraction/site.ts';

/** An invented review of thirty studies with two arms each, fifteen arms a site, that all report deformity. */
export function sixtyArms(): Readonly<Record<string, string>> {
  let state = 20260101;
  const upTo = (most: number): number => {
    state = (Math.imul(state, 48271) >>> 0) % 2147483647;
    return state % (most + 1);
  };
  const studies: string[] = [];
  const arms: string[] = [];
  const events: string[] = [];
  for (let study = 0; study < 30; study += 1) {
    const id = `place-${study}`;
    studies.push(`${id},Place ${study},${1990 + study},,primary,retrospective cohort`);
    for (const at of [study % 4, (study + 1 + (study % 2)) % 4]) {
      const site = pooledSites[at]!;
      const total = 20 + upTo(180);
      arms.push(`${id},${site},${site},${site},${total},${total},${total},${total},24`);
      events.push(
        `${id},${site},cosmetic-deformity,visible bulge,examiner,24,${upTo(Math.floor(total / (3 + at)))},${total}`,
      );
    }
  }
  const sheet = (heading: string, rows: readonly string[]): string => `${[heading, ...rows].join('\n')}\n`;
  return {
    'protocol.json': JSON.stringify({ ...demoProtocol, title: 'Sixty arms, invented' }),
    'studies.csv': sheet('study,label,year,cohort,report_kind,design', studies),
    'arms.csv': sheet(
      'study,arm,site_as_reported,site_as_classified,patients_enrolled,shoulders_enrolled,patients_analysed,shoulders_analysed,follow_up_mean_months',
      arms,
    ),
    'events.csv': sheet(
      'study,arm,outcome,definition,assessor,follow_up_months,events,eligible_shoulders',
      events,
    ),
  };
}
