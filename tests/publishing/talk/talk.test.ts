import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answersOf } from '../../../src/answers/answersOf.ts';
import { pairToTell } from '../../../src/answers/pairToTell.ts';
import { printAnswer } from '../../../src/answers/printAnswer.ts';
import type { CertaintyLevel } from '../../../src/certainty/certaintyRating.ts';
import { selectEvents } from '../../../src/extraction/selectEvents.ts';
import { contrastRatio } from '../../../src/figures/contrast.ts';
import { slideTextWidth } from '../../../src/figures/slideText.ts';
import { poolBySite } from '../../../src/pooling/poolBySite.ts';
import { protocolOptions } from '../../../src/pooling/protocolOptions.ts';
import { quoteSites } from '../../../src/pooling/quoteSites.ts';
import { evidenceOfReview } from '../../../src/publishing/evidenceOfReview.ts';
import { renderPng } from '../../../src/publishing/renderPng.ts';
import { drawSlide } from '../../../src/publishing/talk/drawSlide.ts';
import { layOutTalk } from '../../../src/publishing/talk/layOutTalk.ts';
import type { Placed } from '../../../src/publishing/talk/placed.ts';
import type { Slide, Talk } from '../../../src/publishing/talk/slide.ts';
import { slideHeight, slideWidth } from '../../../src/publishing/talk/slideGeometry.ts';
import { outcomeEvidence } from '../../../src/publishing/talk/talkEvidence.ts';
import {
  ClaimNotUnderstood,
  slideOfOutcome,
  talkOfReview,
} from '../../../src/publishing/talk/talkOfReview.ts';
import { percentDigits, percentLimits } from '../../../src/tables/rateText.ts';
import { table } from '../../../src/tables/table.ts';
import { type JudgedStudy, reviewOf } from '../../answers/reviewOf.ts';
import { overlap, parsePicture, textBoxes } from '../../figures/readPicture.ts';
import { crowdedReview, demoReview, nastyReview, withProtocol } from './reviews.ts';

const review = demoReview();
const claim = 'Tenotomy deforms twice as often as subpectoral tenodesis';
const demo = talkOfReview(review, { compare: ['subpectoral', 'tenotomy'], claim });
const talks: Readonly<Record<string, Talk>> = {
  demo,
  'one outcome': talkOfReview(review, { outcome: 'nerve-injury', claim: 'No bulge in my series: 0 of 40' }),
  'no study for the pair': talkOfReview(review, {
    outcome: 'stiffness',
    compare: ['top-of-groove', 'tenotomy'],
  }),
  'one slide': slideOfOutcome(review, 'revision'),
  'hostile and long names': talkOfReview(nastyReview(), { claim: `${claim} ${'and so on '.repeat(60)}` }),
  'more outcomes than rows': talkOfReview(crowdedReview()),
  'nothing counted': talkOfReview(
    withProtocol((protocol) => {
      protocol.outcomes = [
        { ...protocol.outcomes[0]!, windowMonths: { minimum: 599, maximum: 600 } },
        ...protocol.outcomes.slice(1),
      ];
    }),
    { outcome: 'cosmetic-deformity' },
  ),
};

const wordsOf = ({ title, blocks, source }: Slide): string =>
  [
    title,
    source ?? '',
    ...blocks.flatMap((block) =>
      block.kind === 'sentences'
        ? block.sentences.map(({ text }) => text)
        : block.kind === 'people'
          ? block.groups.flatMap(({ name, lines }) => [name, ...lines])
          : block.table.rows.flatMap((row) => Object.values(row).map(String)),
    ),
  ].join(' | ');

describe('what a talk says', () => {
  it('goes from the question to the claim, one message a slide', () => {
    expect(demo.slides.map(({ id }) => id)).toEqual([
      'question',
      'rates-cosmetic-deformity',
      'rates-groove-pain',
      'rates-revision',
      'rates-any-revision',
      'rates-stiffness',
      'rates-nerve-injury',
      'comparison-cosmetic-deformity',
      'balance',
      'unknown-cosmetic-deformity',
      'claim',
    ]);
    expect(new Set(demo.slides.map(({ title }) => title)).size).toBe(demo.slides.length);
  });

  it('says rates that are those of the pools', () => {
    const { arms, outcome } = selectEvents(review, 'cosmetic-deformity');
    const options = protocolOptions(review.protocol, outcome);
    const pools = quoteSites(poolBySite(arms, options), options);
    const slide = demo.slides.find(({ id }) => id === 'rates-cosmetic-deformity')!;
    const block = slide.blocks[0]!;
    if (block.kind !== 'people') throw new Error('no people');
    for (const [at, { pool }] of pools.sites.entries()) {
      const { rate, interval, prediction } = pool.headline!;
      const { lines, people } = block.groups[at]!;
      expect(lines[0]).toBe(`about ${Math.round(100 * rate)} in 100`);
      expect(lines[1]).toBe(`${percentDigits(rate)} in 100 (${percentLimits(interval)})`);
      expect(lines[2]).toBe(
        `next hospital: ${Math.floor(100 * prediction!.lower)} to ${Math.ceil(100 * prediction!.upper)}`,
      );
      expect(people).toEqual({
        base: 100,
        filled: Math.round(100 * rate),
        upTo: Math.ceil(100 * interval.upper),
      });
    }
  });

  it('compares within studies, in people, with numbers that subtract', () => {
    const pair = pairToTell(answersOf(review), 'cosmetic-deformity', 'subpectoral', 'tenotomy');
    const words = wordsOf(demo.slides.find(({ id }) => id === 'comparison-cosmetic-deformity')!);
    const [high, low] = [pair.risks!.comparator, pair.risks!.treatment].map((risk) => Math.round(100 * risk));
    expect(words).toContain(`about ${high} after tenotomy`);
    expect(words).toContain(`about ${low} after subpectoral fixation`);
    expect(words).toContain(printAnswer(pair.answer, false));
    // At very low certainty the difference is what was seen, not what is said.
    const unsure = reviewOfCertainty('very low');
    const seen = pairToTell(answersOf(unsure), 'groove-pain', 'subpectoral', 'tenotomy');
    expect(
      wordsOf(
        talkOfReview(unsure, { outcome: 'groove-pain', compare: ['subpectoral', 'tenotomy'] }).slides.find(
          ({ id }) => id.startsWith('comparison-'),
        )!,
      ),
    ).toContain(`Seen in them: ${printAnswer(seen.answer, false)}.`);
    const sure = reviewOfCertainty('high');
    const told = pairToTell(answersOf(sure), 'groove-pain', 'subpectoral', 'tenotomy').risks!;
    const said = wordsOf(
      talkOfReview(sure, { outcome: 'groove-pain', compare: ['subpectoral', 'tenotomy'] }).slides.find(
        ({ id }) => id.startsWith('comparison-'),
      )!,
    );
    const shown = [told.comparator, told.treatment].map((risk) => Math.round(100 * risk));
    expect(said).toContain(`about ${shown[0]! - shown[1]!} fewer in 100`);
  });

  it('never says a ratio before people, and rates never as a comparison', () => {
    for (const talk of Object.values(talks))
      for (const slide of talk.slides) {
        const words = wordsOf(slide)
          .replace(claim, '')
          .replace(/\d+ % of the weight/g, '');
        if (slide.id === 'claim') {
          const ratio = words.indexOf('As a ratio');
          if (ratio >= 0) expect(words.slice(0, ratio)).toMatch(/in 100/);
        } else expect(words, slide.id).not.toMatch(/\bratio\b|\btimes\b|twice|odds|\d %/);
        if (slide.id.startsWith('rates-')) expect(words).toContain('Not a comparison of sites');
      }
  });

  it('says that it cannot tell where no study did both, and shows series only with their warning', () => {
    const slide = talks['no study for the pair']!.slides.find(({ id }) => id.startsWith('comparison-'))!;
    expect(slide.title).toBe(
      'Stiffness, top of the groove against tenotomy: we cannot tell, the evidence is very uncertain',
    );
    expect(wordsOf(slide)).toContain('Set side by side they are not a comparison.');
    expect(slide.blocks.map(({ kind }) => kind)).toEqual(['sentences']);
  });

  it('says that nothing is known where nothing was counted', () => {
    const titles = talks['nothing counted']!.slides.map(({ title }) => title);
    expect(titles[0]).toBe('No study found so far answers the question');
    expect(titles.slice(1).every((title) => /cannot tell|nothing is known/.test(title))).toBe(true);
  });

  /** Four studies, 50 of 400 against 100 of 400 in each, judged so that the comparison has this certainty. */
  const judgedFor: Readonly<Record<CertaintyLevel, Omit<JudgedStudy, 'study'>>> = {
    high: { tool: 'RoB 2', judgement: 'low' },
    moderate: { tool: 'RoB 2', judgement: 'some concerns' },
    low: { tool: 'RoB 2', judgement: 'high' },
    'very low': { tool: 'ROBINS-I', judgement: 'serious' },
  };
  const reviewOfCertainty = (level: CertaintyLevel) => {
    const studies = ['aller', 'brock', 'corve', 'dunt'];
    const design = level === 'very low' ? 'retrospective cohort' : 'randomised trial';
    const made = reviewOf(
      studies.flatMap((study) => [
        { study, design, site: 'subpectoral' as const, events: 50, total: 400 },
        { study, design, site: 'tenotomy' as const, events: 100, total: 400 },
      ]),
      { judgements: studies.map((study) => ({ study, ...judgedFor[level] })) },
    );
    const { certainty } = answersOf(made).to('comparison:groove-pain:subpectoral:tenotomy');
    expect(certainty.level).toBe(level);
    return made;
  };

  it('does not say what very uncertain evidence shows', () => {
    const titled = (level: CertaintyLevel) =>
      talkOfReview(reviewOfCertainty(level), {
        outcome: 'groove-pain',
        compare: ['subpectoral', 'tenotomy'],
        claim: 'Tenotomy leaves groove pain twice as often as subpectoral tenodesis',
      });
    const uncertain = titled('very low').slides;
    expect(uncertain.find(({ id }) => id.startsWith('comparison-'))!.title).toMatch(
      /we cannot tell, the evidence is very uncertain$/,
    );
    expect(uncertain.at(-1)!.title).toBe('This sentence should not be said: we cannot tell');
    expect(titled('low').slides[2]!.title).toContain('perhaps about');
    expect(titled('moderate').slides[2]!.title).toContain('probably about');
    expect(titled('high').slides[2]!.title).toMatch(/: about/);
  });

  it('has notes with exact numbers, method, rows, references and the caution on every slide', () => {
    for (const { id, notes } of demo.slides) {
      const text = notes.join('\n');
      expect(text, id).toContain('never replace them');
      expect(text, id).toContain(review.protocol.notice);
      if (/^(?:rates|comparison|balance|claim)/.test(id)) {
        expect(text, id).toContain('Method: ');
        expect(text, id).toMatch(/DerSimonian-Laird/);
      }
      if (/^(?:rates|comparison|balance|claim)/.test(id)) expect(text, id).toMatch(/events\.csv line \d+, /);
      if (id.startsWith('rates')) expect(text, id).toContain('References: ');
      expect(text, id).not.toMatch(/NaN|undefined|\[object/);
    }
  });

  it('is as sure of a pair whichever site is named first, and as sure as the tables for a committee', () => {
    type Pair = readonly ['subpectoral', 'tenotomy'] | readonly ['tenotomy', 'subpectoral'];
    const sureOf = ([treatment, comparator]: Pair) =>
      outcomeEvidence(answersOf(review), 'cosmetic-deformity').pairOf(treatment, comparator).answer.certainty;
    const [one, other] = [sureOf(['subpectoral', 'tenotomy']), sureOf(['tenotomy', 'subpectoral'])];
    expect(one).toEqual(other);
    const committee = evidenceOfReview(review, { forests: false })
      .comparisons.flatMap(({ ratings }) => ratings)
      .find(
        ({ question }) =>
          question.kind === 'comparison' &&
          question.outcome === 'cosmetic-deformity' &&
          question.site === 'subpectoral' &&
          question.comparator === 'tenotomy',
      );
    expect(committee?.level).toBe(one?.level);
    const said = (compare: Pair) => {
      const { slides } = talkOfReview(review, { compare });
      const slide = slides.find(({ id }) => id.startsWith('comparison-cosmetic-deformity'))!;
      return /(very low|low|moderate|high) certainty/.exec(JSON.stringify(slide))?.[0];
    };
    expect(said(['tenotomy', 'subpectoral'])).toBe(`${one?.level} certainty`);
    expect(said(['subpectoral', 'tenotomy'])).toBe(`${one?.level} certainty`);
  });

  it('refuses what it does not know, naming what there is', () => {
    expect(() => talkOfReview(review, { outcome: 'pain' })).toThrow('cosmetic-deformity, groove-pain');
    expect(() => talkOfReview(review, { compare: ['tenotomy', 'tenotomy'] })).toThrow('two different sites');
    expect(() => talkOfReview(review, { compare: ['tenotomy', 'elbow' as never] })).toThrow('top-of-groove');
    expect(() => talkOfReview(review, { outcomes: [] } as never)).toThrow('outcomes');
    expect(() => talkOfReview(review, { claim: 'Tenotomy is bad' })).toThrow(ClaimNotUnderstood);
    expect(() => talkOfReview(review, { claim: 'Tenotomy is bad' })).toThrow('Sentences that are:');
  });

  it('gives the same talk twice', () => {
    expect(talkOfReview(review, { compare: ['subpectoral', 'tenotomy'], claim })).toEqual(demo);
  });
});

const boxOf = ({ box }: Placed) => ({
  what: '',
  left: box.left,
  right: box.left + box.width,
  top: box.top,
  bottom: box.top + box.height,
});

describe.each(Object.entries(talks))('laid out: %s', (_name, talk) => {
  const slides = layOutTalk(talk);

  it('sets nothing under 18 pt and lets no text leave its box', () => {
    for (const slide of slides)
      for (const placed of slide.placed) {
        if (placed.kind === 'text') {
          let height = 0;
          for (const { lines, size, face, bullet, before } of placed.paragraphs) {
            expect(size).toBeGreaterThanOrEqual(18);
            for (const line of lines)
              expect(
                slideTextWidth(line, size, face === 'bold') + (bullet ? 20 : 0),
                `${slide.id}: ${line}`,
              ).toBeLessThanOrEqual(placed.box.width + 0.01);
            height += before + lines.length * size * 1.2;
          }
          expect(height, `${slide.id}: ${placed.paragraphs[0]?.text}`).toBeLessThanOrEqual(
            placed.box.height + 0.5,
          );
        }
        if (placed.kind === 'table') {
          expect(placed.size).toBeGreaterThanOrEqual(18);
          expect(placed.rows.length - 1).toBeLessThanOrEqual(7);
          expect(placed.columns.reduce((sum, width) => sum + width, 0)).toBeLessThanOrEqual(
            placed.box.width + 0.01,
          );
          for (const [row, cells] of placed.rows.entries())
            for (const [column, { lines, bold }] of cells.entries()) {
              for (const line of lines)
                expect(slideTextWidth(line, placed.size, bold), `${slide.id}: ${line}`).toBeLessThanOrEqual(
                  placed.columns[column]! - 14 + 0.01,
                );
              expect(lines.length * placed.size * 1.2 + 8).toBeLessThanOrEqual(
                placed.rowHeights[row]! + 0.01,
              );
            }
        }
      }
  });

  it('keeps everything on the slide and nothing on top of anything', () => {
    for (const { id, placed } of slides) {
      for (const each of placed) {
        const { left, right, top, bottom } = boxOf(each);
        expect(left, id).toBeGreaterThanOrEqual(0);
        expect(right, id).toBeLessThanOrEqual(slideWidth);
        expect(top, id).toBeGreaterThanOrEqual(0);
        expect(bottom, `${id} ${each.kind}`).toBeLessThanOrEqual(slideHeight);
      }
      const boxes = placed
        .filter(({ kind }) => kind !== 'rule')
        .map((each) => ({
          ...boxOf(each),
          what: `${each.kind} ${each.kind === 'text' ? each.paragraphs[0]?.text : ''}`,
        }));
      const clashes = boxes.flatMap((box, at) =>
        boxes
          .slice(at + 1)
          .filter((other) => overlap(box, other))
          .map((other) => `${box.what} | ${other.what}`),
      );
      expect(clashes, id).toEqual([]);
    }
  });

  it('carries notice, caution and number on every slide, and loses no row and no sentence', () => {
    for (const [at, { placed }] of slides.entries()) {
      const byRole = (role: string) => placed.filter((each) => each.kind === 'text' && each.role === role);
      expect(byRole('title')).toHaveLength(1);
      expect(byRole('notice')).toHaveLength(1);
      expect(byRole('caution')[0]).toMatchObject({ paragraphs: [{ text: talk.caution }] });
      expect(byRole('number')[0]).toMatchObject({ paragraphs: [{ text: String(at + 1) }] });
    }
    const tables = slides.flatMap(({ placed }) => placed.filter((each) => each.kind === 'table'));
    const rows = talk.slides.flatMap(({ blocks }) =>
      blocks.flatMap((block) => (block.kind === 'table' ? block.table.rows : [])),
    );
    expect(tables.reduce((sum, { rows: shown }) => sum + shown.length - 1, 0)).toBe(rows.length);
    const sentences = talk.slides.flatMap(({ blocks }) =>
      blocks.flatMap((block) => (block.kind === 'sentences' ? block.sentences : [])),
    );
    const bodies = slides.flatMap(({ placed }) =>
      placed.flatMap((each) => (each.kind === 'text' && each.role === 'body' ? each.paragraphs : [])),
    );
    expect(bodies).toHaveLength(sentences.length);
  });

  it('is read against its paper: contrast of 4.5 or more', () => {
    for (const { placed } of slides)
      for (const each of placed)
        if (each.kind === 'text')
          for (const { colour } of each.paragraphs)
            expect(contrastRatio(colour, '#ffffff')).toBeGreaterThanOrEqual(4.5);
  });

  it('is drawn with its text in place, and with nothing but text in its words', () => {
    for (const slide of slides) {
      const svg = drawSlide(slide);
      const root = parsePicture(svg);
      expect(svg).not.toMatch(/NaN|Infinity|undefined/);
      expect(root.querySelectorAll('img, script, b, i, [onerror]')).toHaveLength(0);
      const boxes = textBoxes(root);
      for (const box of boxes) {
        expect(box.size).toBeGreaterThanOrEqual(18);
        expect(box.right, box.what).toBeLessThanOrEqual(slideWidth);
        expect(box.bottom, box.what).toBeLessThanOrEqual(slideHeight);
      }
      const clashes = boxes.flatMap((box, at) =>
        boxes
          .slice(at + 1)
          .filter((other) => overlap(box, other))
          .map((other) => `${box.what} | ${other.what}`),
      );
      expect(clashes, slide.id).toEqual([]);
    }
  });
});

describe('any talk at all', () => {
  const words = fc.string({
    unit: fc.constantFrom('a', 'W', 'é', ' ', '-', '<', '&', '漢', '1', ',', 'i'),
    maxLength: 400,
  });
  const sentence = fc.record({ text: words, look: fc.constantFrom('lead', 'plain', 'item', 'warning') });
  const block = fc.oneof(
    fc.record({
      kind: fc.constant('sentences' as const),
      sentences: fc.array(sentence, { minLength: 1, maxLength: 9 }),
    }),
    fc
      .tuple(fc.array(fc.tuple(words, words, words), { minLength: 1, maxLength: 12 }), words)
      .map(([rows, heading]) => ({
        kind: 'table' as const,
        table: table({
          caption: 'Any',
          columns: [
            { key: 'a', heading },
            { key: 'b', heading: 'Second' },
            { key: 'c', heading: '3', align: 'right' },
          ],
          rows: rows.map(([a, b, c]) => ({ a, b, c: c.slice(0, 30) })),
        }),
      })),
  );

  it('stays within its boxes and ends', () => {
    fc.assert(
      fc.property(words, fc.array(block, { maxLength: 3 }), (title, blocks) => {
        const slides = layOutTalk({
          ...demo,
          slides: [
            { kind: 'slide', id: 'any', title, blocks: blocks as Slide['blocks'], source: title, notes: [] },
          ],
        });
        expect(slides.length).toBeLessThan(120);
        for (const { placed } of slides)
          for (const each of placed) {
            if (each.kind === 'text') {
              const height = each.paragraphs.reduce(
                (sum, { lines, size, before }) => sum + before + lines.length * size * 1.2,
                0,
              );
              expect(height).toBeLessThanOrEqual(each.box.height + 0.5);
              for (const { lines, size, face } of each.paragraphs)
                for (const line of lines)
                  expect(slideTextWidth(line, size, face === 'bold')).toBeLessThanOrEqual(
                    each.box.width + 0.01,
                  );
            }
            if (each.kind === 'table') {
              expect(each.box.top + each.box.height).toBeLessThanOrEqual(460);
              expect(each.rows.length).toBeLessThanOrEqual(8);
            }
          }
      }),
      { numRuns: 60 },
    );
  });
});

describe('slides as pictures', () => {
  it('are 16:9 and of the size they state', () => {
    const png = Buffer.from(renderPng(drawSlide(layOutTalk(demo)[1]!), { dotsPerInch: 72 }));
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([960, 540]);
  });
});

describe('the slide that compares two sites', () => {
  const slide = talkOfReview(review, { compare: ['subpectoral', 'tenotomy'] }).slides.find(
    ({ id }) => id === 'comparison-cosmetic-deformity',
  )!;

  it('says the difference once', () => {
    expect(wordsOf(slide)).not.toMatch(/(\d+ fewer in 100)[:.] \1/i);
  });

  it('says of the next hospital what the range beside the told number says', () => {
    const told = pairToTell(answersOf(review), 'cosmetic-deformity', 'subpectoral', 'tenotomy');
    const range = told.answer.behind.pair!.effect!.prediction!;
    // The whole range lies on the side of fewer, as in the notes of the slide.
    expect(range.upper).toBeLessThan(1);
    expect(wordsOf(slide)).toContain('expected to see it the same way round');
  });

  it('ends no line of sources in dots', () => {
    const lines = layOutTalk(demo).flatMap(({ placed }) =>
      placed.flatMap((piece) => (piece.kind === 'text' && piece.role === 'source' ? [piece] : [])),
    );
    expect(lines.length).toBeGreaterThan(5);
    expect(JSON.stringify(lines)).not.toContain('\u2026');
  });
});
