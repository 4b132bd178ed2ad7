// What a protocol changed since its earlier versions, followed back as far as they lead; and what may be said of its date.
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readProtocol } from '../../src/extraction/readProtocol.ts';
import { amendmentsOfFolder } from '../../src/publishing/amendmentsOfFolder.ts';
import { protocolReading } from '../../src/tables/readings/protocolReading.ts';
import { withProtocol } from './talk/reviews.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-amended-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const first = JSON.parse(readFileSync('data-extraction/demo/protocol.json', 'utf8'));
delete first.previousVersion;

/** A folder with nothing but a protocol, changed. */
function version(name: string, change: (protocol: typeof first) => void = () => {}): string {
  const folder = join(root, name);
  mkdirSync(folder, { recursive: true });
  const protocol = structuredClone(first);
  change(protocol);
  writeFileSync(join(folder, 'protocol.json'), JSON.stringify(protocol));
  return folder;
}

describe('amendments', () => {
  it('none of a first version, and none where only words and the search moved', () => {
    expect(amendmentsOfFolder(version('alone'))).toEqual([]);
    version('worded', (protocol) => {
      protocol.title = 'Another title';
      protocol.lastSearch = '2025-01-31';
      protocol.registered = { date: '2024-05-01', where: 'Register 17' };
    });
    expect(
      amendmentsOfFolder(version('after-words', (protocol) => (protocol.previousVersion = '../worded'))),
    ).toEqual([]);
  });

  it('are followed back over two versions, the latest first, each dated', () => {
    version('y1', (protocol) => {
      protocol.lastSearch = '2024-06-30';
      protocol.overlapRule = 'latest';
    });
    version('y2', (protocol) => {
      protocol.lastSearch = '2025-06-30';
      protocol.previousVersion = '../y1';
    });
    const third = version('y3', (protocol) => {
      protocol.previousVersion = '../y2';
      protocol.siteRule.midGroove = 'split-by-half';
    });
    expect(amendmentsOfFolder(third)).toEqual([
      'Amended between the last search of 30 June 2025 and that of 30 June 2026: Where fixation in the middle of the groove counts: split-by-half (before: with-suprapectoral).',
      'Amended between the last search of 30 June 2024 and that of 30 June 2025: Which report counts when several describe the same patients: largest (before: latest).',
    ]);
  });

  it('end where versions name each other, and say where one cannot be read', () => {
    version('a', (protocol) => (protocol.previousVersion = '../b'));
    const b = version('b', (protocol) => (protocol.previousVersion = '../a'));
    expect(amendmentsOfFolder(b)).toEqual([]);
    const lost = version('lost', (protocol) => (protocol.previousVersion = '../nowhere'));
    expect(amendmentsOfFolder(lost)[0]).toMatch(
      /nowhere has no protocol that can be read, so what was amended/,
    );
    const broken = version('broken');
    writeFileSync(join(broken, 'protocol.json'), '{');
    expect(
      amendmentsOfFolder(version('after-broken', (protocol) => (protocol.previousVersion = '../broken')))[0],
    ).toMatch(/broken has no protocol that can be read/);
  });

  it('are found in a folder "previous" too', () => {
    const now = version('within');
    cpSync(
      version('older', (protocol) => (protocol.outcomes[0].windowMonths.minimum = 24)),
      join(now, 'previous'),
      {
        recursive: true,
      },
    );
    expect(amendmentsOfFolder(now).join()).toMatch(/earliest month counted: 12 \(before: 24\)/);
  });
});

describe('the date of a protocol', () => {
  const dated = (registered: unknown) =>
    withProtocol((protocol) => (protocol.registered = registered)).protocol;

  it('before the last search: the choices came before the results', () => {
    expect(protocolReading(dated({ date: '2025-03-03', where: 'Invented Register 25-17' }))).toBe(
      'The protocol was registered on 3 March 2025 (Invented Register 25-17), before the results were seen.',
    );
    expect(protocolReading(dated({ date: '2026-06-30', where: 'R' }))).toContain(
      'before the results were seen',
    );
  });

  it('after it, or not given: nothing is claimed', () => {
    expect(protocolReading(dated({ date: '2026-07-01', where: 'R' }))).toMatch(
      /after the last search; .* cannot be told/,
    );
    expect(protocolReading(dated(undefined))).toMatch(/does not say when .* cannot be told/);
  });

  it('is a day of the calendar, with a place', () => {
    const problems = (registered: unknown) =>
      readProtocol(JSON.stringify({ ...first, registered })).problems.filter(
        ({ severity }) => severity === 'error',
      );
    expect(problems({ date: '2025-03-03', where: 'R' })).toEqual([]);
    expect(problems({ date: '2025-02-30', where: 'R' })).not.toEqual([]);
    expect(problems({ date: '2025-03-03' })).not.toEqual([]);
  });
});
