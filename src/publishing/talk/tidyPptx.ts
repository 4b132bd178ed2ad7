import { escape as escapeText } from 'html-escaper';
import JSZip from 'jszip';
import { palette, siteColours } from '../../figures/palette.ts';
import { cleanNotes } from './cleanNotes.ts';
import type { LaidOutSlide } from './placed.ts';

/** Draws an SVG as a PNG. */
export type DrawPng = (svg: string) => Uint8Array | Promise<Uint8Array>;

export interface TidyOptions {
  /** SVG pictures in the order they were put on slides. */
  readonly pictures: readonly string[];
  readonly slides: readonly LaidOutSlide[];
  readonly language: string;
  readonly png: DrawPng | undefined;
}

/** The date every part of the file carries: the first a ZIP file knows, so that no clock is read. */
const zipEpoch = new Date(Date.UTC(1980, 0, 1));

/**
 * Makes a written presentation repeatable and complete: no clock in its properties or its archive, ids unique on each
 * slide, notes in paragraphs, the colours of the project in its theme, and real pictures in place of the stand-ins for
 * programs that cannot show SVG.
 */
export async function tidyPptx(written: Uint8Array, options: TidyOptions): Promise<Uint8Array> {
  const source = await JSZip.loadAsync(written);
  const target = new JSZip();
  const pngs = new Map<string, Uint8Array>();
  const drawn = new Map<string, Uint8Array>();
  let picture = 0;
  const names = Object.keys(source.files)
    .filter((name) => !source.files[name]!.dir)
    .sort(byNumber);
  for (const name of names.filter((each) => /^ppt\/media\/.*\.svg$/.test(each))) {
    const svg = options.pictures[picture++];
    if (svg === undefined || options.png === undefined) continue;
    // Marks of sites and of the key come again on every slide.
    const png = drawn.get(svg) ?? (await options.png(svg));
    drawn.set(svg, png);
    pngs.set(pngBeside(name), png);
  }
  for (const name of names) {
    const content = pngs.get(name) ?? (await tidied(source, name, options));
    // A PNG is compressed already.
    const compression = name.endsWith('.png') ? 'STORE' : 'DEFLATE';
    target.file(name, content, { date: zipEpoch, createFolders: false, compression });
  }
  return target.generateAsync({
    type: 'uint8array',
    compression: 'DEFLATE',
    compressionOptions: { level: 6 },
    platform: 'DOS',
  });
}

/** `image-2-4.svg` stands beside `image-2-3.png`. */
function pngBeside(svg: string): string {
  const match = /^(.*-)(\d+)\.svg$/.exec(svg)!;
  return `${match[1]}${Number(match[2]) - 1}.png`;
}

const byNumber = (one: string, other: string): number =>
  one.localeCompare(other, 'en', { numeric: true, sensitivity: 'variant' });

async function tidied(source: JSZip, name: string, options: TidyOptions): Promise<string | Uint8Array> {
  const file = source.files[name]!;
  if (!/\.(?:xml|rels)$/.test(name)) return file.async('uint8array');
  const xml = (await file.async('string'))
    .replace(/^\s+/, '')
    .replaceAll(' lang="en-US"', ` lang="${options.language}"`);
  if (name === 'docProps/core.xml')
    return xml.replace(/\s*<dcterms:(?:created|modified)[^>]*>[^<]*<\/dcterms:(?:created|modified)>/g, '');
  if (name === '[Content_Types].xml')
    // The library also declares masters that the file does not hold.
    return xml.replace(/<Override [^>]*PartName="\/([^"]+)"[^>]*\/>/g, (entry, part: string) =>
      source.files[part] === undefined ? '' : entry,
    );
  if (name === 'docProps/app.xml') return appProperties(options.slides.length);
  if (name === 'ppt/theme/theme1.xml')
    return xml.replace(/<a:clrScheme[\s\S]*?<\/a:clrScheme>/, themeColours);
  if (/^ppt\/slides\/slide\d+\.xml$/.test(name)) return numbered(xml);
  const notes = /^ppt\/notesSlides\/notesSlide(\d+)\.xml$/.exec(name);
  if (notes !== null)
    return cleanNotes(xml, options.slides[Number(notes[1]) - 1]?.notes ?? [], options.language);
  return xml;
}

/** Says what made the file, and nothing that is not so. */
const appProperties = (slides: number): string =>
  `<?xml version="1.0" encoding="UTF-8" standalone="yes"?><Properties xmlns="http://schemas.openxmlformats.org/officeDocument/2006/extended-properties"><Application>tenosite</Application><Slides>${slides}</Slides><Notes>${slides}</Notes></Properties>`;

/** Marks that only repeat what the text beside them says: screen readers pass over them. */
const decorative =
  '<a:extLst><a:ext uri="{C183D7F6-B498-43B3-948B-1728B52AA6E4}"><adec:decorative xmlns:adec="http://schemas.microsoft.com/office/drawing/2017/decorative" val="1"/></a:ext></a:extLst>';

/** Ids of shapes, each used once on its slide; tables get their caption as a description. */
function numbered(xml: string): string {
  let next = 1;
  return xml
    .replace(
      /(<p:cNvPr id="\d+" name=")Text 0("><\/p:cNvPr><p:cNvSpPr\/><p:nvPr><p:ph\s[^>]*type="title")/g,
      '$1Title$2',
    )
    .replace(/<p:cNvPr id="\d+"/g, () => `<p:cNvPr id="${next++}"`)
    .replaceAll(
      /(<p:cNvPr id="\d+" name="[^"]*") descr="decorative">\s*<\/p:cNvPr>/g,
      `$1 descr="">${decorative}</p:cNvPr>`,
    )
    .replace(
      /(<p:nvGraphicFramePr><p:cNvPr id="\d+" name="([^"]*)")\/>/g,
      (_, start: string, caption: string) => `${start} descr="${caption}"/>`,
    );
}

const hex = (colour: string): string => escapeText(colour.slice(1).toUpperCase());
const solid = (name: string, colour: string): string =>
  `<a:${name}><a:srgbClr val="${hex(colour)}"/></a:${name}>`;
const themeColours = `<a:clrScheme name="tenosite">${[
  solid('dk1', palette.ink),
  solid('lt1', palette.paper),
  solid('dk2', palette.quiet),
  solid('lt2', palette.hairline),
  solid('accent1', siteColours['top-of-groove']),
  solid('accent2', siteColours.suprapectoral),
  solid('accent3', siteColours.subpectoral),
  solid('accent4', siteColours.tenotomy),
  solid('accent5', palette.comparison),
  solid('accent6', palette.notice),
  solid('hlink', palette.comparison),
  solid('folHlink', palette.quiet),
].join('')}</a:clrScheme>`;
