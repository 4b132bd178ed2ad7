import fc from 'fast-check';
import MarkdownIt from 'markdown-it';
import { describe, expect, it } from 'vitest';
import { bulletList, joinProse, prose, wholeNumber } from '../../src/publishing/prose.ts';

describe('prose', () => {
  it('keeps the words as Markdown and the values as text', () => {
    expect(prose`**Rate:** ${'4.1 (2.0 to 8.3)'} from ${1234} *shoulders*`.markdown).toBe(
      '**Rate:** 4.1 (2.0 to 8.3) from 1,234 *shoulders*',
    );
  });

  it('puts prose into prose as it is', () => {
    expect(prose`a ${prose`**b** ${'*c*'}`} d`.markdown).toBe('a **b** \\*c\\* d');
  });

  it('takes off the indentation of the code around it', () => {
    expect(
      prose`one
      two

      three`.markdown,
    ).toBe('one\ntwo\n\nthree');
  });

  it.each([[0.5], [Number.NaN], [Number.POSITIVE_INFINITY]])('refuses %s, which nobody rounded', (value) => {
    expect(() => prose`${value}`).toThrow('a whole number or prose');
  });

  it('renders any value as the characters it is made of, without a tag', () => {
    const reader = new MarkdownIt({ html: false });
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (value) => {
        const html = reader.renderInline(prose`x${value}x`.markdown);
        expect(html).not.toMatch(/<(?!br)/);
        const text = html
          .replaceAll('&lt;', '<')
          .replaceAll('&gt;', '>')
          .replaceAll('&quot;', '"')
          .replaceAll('&amp;', '&');
        expect(text).toBe(
          `x${value.replace(/[ \t\r\n\v\f\u2028\u2029]+/g, ' ')}x`.replaceAll('\0', '\ufffd'),
        );
      }),
    );
  });

  it('makes a list of several sentences and a paragraph of one', () => {
    expect(bulletList(['a', 'b*']).markdown).toBe('- a\n- b\\*');
    expect(bulletList(['a']).markdown).toBe('a');
    expect(joinProse([prose`a`, prose``, prose`b`]).markdown).toBe('a b');
  });

  it('prints thousands with a comma', () => {
    expect([0, 999, 1000, 1234567, -1234].map(wholeNumber)).toEqual([
      '0',
      '999',
      '1,000',
      '1,234,567',
      '-1,234',
    ]);
  });
});
