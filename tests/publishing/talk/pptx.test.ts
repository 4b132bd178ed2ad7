import JSZip from 'jszip';
import { parseHTML } from 'linkedom';
import { beforeAll, describe, expect, it } from 'vitest';
import { layOutTalk } from '../../../src/publishing/talk/layOutTalk.ts';
import { cleanText, pptxOfTalk } from '../../../src/publishing/talk/pptxOfTalk.ts';
import type { Talk } from '../../../src/publishing/talk/slide.ts';
import { talkOfReview } from '../../../src/publishing/talk/talkOfReview.ts';
import { xmlFault } from '../../helpers/wellFormedXml.ts';
import { crowdedReview, demoReview, nastyReview } from './reviews.ts';

const png = new Uint8Array([0x89, 0x50, 0x4e, 0x47, 1, 2, 3]);
/** Only the slides with tables, which are the ones that run over. */
const tablesOf = (talk: Talk): Talk => ({
  ...talk,
  slides: talk.slides.filter(({ blocks }) => blocks.some(({ kind }) => kind === 'table')),
});

const talks: Readonly<Record<string, Talk>> = {
  demo: talkOfReview(demoReview(), {
    compare: ['subpectoral', 'tenotomy'],
    claim: 'Tenotomy deforms twice as often as subpectoral tenodesis',
  }),
  hostile: talkOfReview(nastyReview()),
  crowded: tablesOf(talkOfReview(crowdedReview())),
};

describe('xmlFault', () => {
  it('finds what makes XML unreadable', () => {
    expect(xmlFault('<?xml version="1.0"?><a b="1"><c/>x &amp; y</a>')).toBeUndefined();
    for (const bad of [
      '<a>',
      '<a></b>',
      '<a>&</a>',
      '<a b=1/>',
      '<a b="1" b="2"/>',
      '<a/><a/>',
      '<a>\u0007</a>',
      '<a>\ud800</a>',
      '<a><</a>',
      '',
    ])
      expect(xmlFault(bad), bad).toBeDefined();
  });
});

describe.each(Object.entries(talks))('presentation: %s', (name, talk) => {
  const laidOut = layOutTalk(talk);
  let parts: Map<string, string>;
  let bytes: Uint8Array;
  beforeAll(async () => {
    bytes = await pptxOfTalk(talk, { png: () => png });
    const zip = await JSZip.loadAsync(bytes);
    parts = new Map(
      await Promise.all(
        Object.keys(zip.files).map(async (name) => [name, await zip.files[name]!.async('string')] as const),
      ),
    );
  });
  const named = (pattern: RegExp) => [...parts].filter(([path]) => pattern.test(path));
  const slidesInOrder = () => laidOut.map((_, at) => parts.get(`ppt/slides/slide${at + 1}.xml`) ?? '');
  const texts = (xml: string) =>
    [...xml.matchAll(/<a:t>([^<]*)<\/a:t>/g)].map(
      ([, text]) => parseHTML(`<p>${text}</p>`).document.querySelector('p')?.textContent ?? '',
    );

  it('is well-formed in every part', () => {
    const xml = named(/\.(?:xml|rels|svg)$/);
    expect(xml.length).toBeGreaterThan(20);
    for (const [name, text] of xml) expect(xmlFault(text), name).toBeUndefined();
  });

  it('sets nothing under 18 pt on slides, layouts and master', () => {
    for (const [name, text] of named(/^ppt\/(?:slides|slideLayouts|slideMasters)\/[^/]+\.xml$/))
      for (const [, size] of text.matchAll(/<a:(?:rPr|defRPr|endParaRPr)[^>]* sz="(\d+)"/g))
        expect(Number(size), name).toBeGreaterThanOrEqual(1800);
    // Every run states its size, so that no default of a program decides it.
    for (const text of slidesInOrder())
      for (const [run] of text.matchAll(/<a:r><a:rPr[^>]*>/g)) expect(run).toMatch(/ sz="\d+"/);
  });

  it('has the message of each slide in its title placeholder, and everything it says as text', () => {
    for (const [at, xml] of slidesInOrder().entries()) {
      const title = /<p:sp>(?:(?!<\/p:sp>)[\s\S])*?type="title"[\s\S]*?<\/p:sp>/.exec(xml)?.[0] ?? '';
      expect(texts(title).join('')).toBe(cleanText(laidOut[at]!.title));
      const shown = texts(xml);
      for (const placed of laidOut[at]!.placed) {
        if (placed.kind === 'text' && placed.role !== 'number')
          for (const { text } of placed.paragraphs) expect(shown).toContain(cleanText(text));
        if (placed.kind === 'table')
          for (const { text } of placed.rows.flat())
            if (text !== '') expect(shown).toContain(cleanText(text));
      }
      expect(xml).toContain('type="slidenum"');
    }
  });

  it('has native tables of at most seven rows under their heading', () => {
    const tables = slidesInOrder().flatMap((xml) => xml.match(/<a:tbl>[\s\S]*?<\/a:tbl>/g) ?? []);
    expect(tables.length).toBe(
      laidOut.flatMap(({ placed }) => placed.filter(({ kind }) => kind === 'table')).length,
    );
    for (const table of tables) expect((table.match(/<a:tr /g) ?? []).length).toBeLessThanOrEqual(8);
  });

  it('has notes for every slide, each paragraph its own', () => {
    for (const [at, { notes }] of laidOut.entries()) {
      const xml = parts.get(`ppt/notesSlides/notesSlide${at + 1}.xml`) ?? '';
      expect(texts(xml).slice(0, notes.length)).toEqual(notes.map(cleanText));
    }
  });

  it('resolves every relationship and declares every kind of part', () => {
    const types = parts.get('[Content_Types].xml') ?? '';
    for (const [name, text] of named(/\.rels$/)) {
      const folder = name.replace(/_rels\/[^/]*$/, '');
      const ids = [...text.matchAll(/ Id="([^"]+)"/g)].map(([, id]) => id);
      expect(new Set(ids).size, name).toBe(ids.length);
      for (const [, target] of text.matchAll(/ Target="([^"]+)"/g)) {
        const path = new URL(target!, `file:///${folder}`).pathname.slice(1);
        expect([...parts.keys()], `${name} to ${target}`).toContain(path);
      }
      const source = parts.get(`${folder}${/([^/]*)\.rels$/.exec(name)![1]}`) ?? '';
      for (const [, id] of source.matchAll(/ r:(?:embed|id|link)="(rId\d+)"/g))
        expect(ids, name).toContain(id);
    }
    for (const [, part] of types.matchAll(/PartName="\/([^"]+)"/g)) expect([...parts.keys()]).toContain(part);
    for (const [name] of named(/^ppt\/media\//))
      expect(types).toMatch(new RegExp(`Extension="${name.split('.').pop()}"`));
  });

  it('gives each shape of a slide an id of its own, and each picture words', () => {
    for (const xml of slidesInOrder()) {
      const ids = [...xml.matchAll(/<p:cNvPr id="(\d+)"/g)].map(([, id]) => id);
      expect(new Set(ids).size).toBe(ids.length);
      for (const [picture] of xml.matchAll(/<p:pic>[\s\S]*?<\/p:pic>/g))
        expect(picture).toMatch(/descr="[^"]{20,}"|descr=""><a:extLst>.*<adec:decorative [^>]*val="1"/);
    }
    for (const [, text] of named(/^ppt\/media\/.*\.png$/)) expect(text.length).toBe(png.length);
  });

  it('is the same file every time, without a clock in it', async () => {
    if (name !== 'hostile') expect(await pptxOfTalk(talk, { png: () => png })).toEqual(bytes);
    expect(parts.get('docProps/core.xml')).not.toMatch(/dcterms:(?:created|modified)/);
    expect(parts.get('docProps/app.xml')).toContain('<Application>tenosite</Application>');
  });

  it('is in one language and one font', () => {
    for (const [name, text] of named(/^ppt\/(?:slides|notesSlides|slideLayouts)\/[^/]+\.xml$/))
      for (const [, tag] of text.matchAll(/ lang="([^"]+)"/g)) expect(tag, name).toBe('en-GB');
    for (const text of slidesInOrder())
      expect([
        ...new Set([...text.matchAll(/<a:latin typeface="([^"]+)"/g)].map(([, face]) => face)),
      ]).toEqual(['Arial']);
  });
});
