// What the small XML reader takes and what it stops at.
import { describe, expect, it } from 'vitest';
import { attributeOf, elementName, escapeXml } from '../../../../src/documents/xml/xml-attribute.ts';
import { scanXml, XML_LIMITS } from '../../../../src/documents/xml/xml-scanner.ts';

function scanned(text: string): { names: string[]; trouble: string | null } {
  const names: string[] = [];
  const trouble = scanXml(new TextEncoder().encode(text), {
    open(element) {
      names.push(`${element.depth}${elementName(element)}${attributeOf(element, 'n') ?? ''}`);
      return null;
    },
    close: () => null,
  });
  return { names, trouble: trouble?.say ?? null };
}

describe('scanXml', () => {
  it.each([
    ['<a/>', ['0a']],
    [
      '\ufeff<?xml version="1.0"?>\n<!-- x --><a>\n<b n="1"/>text<c n = \'2\' ></c ></a>\n<!-- y -->',
      ['0a', '1b1', '1c2'],
    ],
    ['<a><![CDATA[<b>]]><b/></a>', ['0a', '1b']],
    ['<a n="&lt;&#65;&amp;&#x42;"/>', ['0a<A&B']],
    ['<a n=">"/>', ['0a>']],
    ['<x:a xmlns:x="u"><x:b/></x:a>', ['0x:a', '1x:b']],
  ])('reads %s', (text, names) => expect(scanned(text)).toEqual({ names, trouble: null }));
  it.each([
    ['', 'no element'],
    ['text', 'text outside'],
    ['<a/>text', 'text outside'],
    ['<a/><b/>', 'second root'],
    ['<a>', 'ends inside an element'],
    ['<a></b>', 'does not match'],
    ['</a>', 'closes nothing'],
    ['<a', 'ends inside a tag'],
    ['<a b', 'no value'],
    ['<a b=1/>', 'not in quotes'],
    ['<a b="1"c="2"/>', 'white space is missing'],
    ['<a b="1" b="2"/>', 'given twice'],
    ['<a b="<"/>', 'inside a value'],
    ['<a b="x', 'not closed'],
    ['<a b="&bomb;"/>', 'entity'],
    ['<!DOCTYPE a [<!ENTITY b "c">]><a/>', 'document type'],
    ['<a><!ELEMENT x></a>', 'declaration'],
    ['<a><!-- </a>', 'missing'],
    ['< a/>', 'no name'],
    ['<a / >', 'not closed'],
  ])('stops at %s', (text, say) => expect(scanned(text).trouble).toContain(say));
  it('limits depth, attributes and length of values', () => {
    expect(scanned('<a>'.repeat(XML_LIMITS.maxDepth + 1)).trouble).toContain('nested deeper');
    const many = Array.from({ length: 65 }, (_, i) => ` a${i}="1"`).join('');
    expect(scanned(`<a${many}/>`).trouble).toContain('more than 64 attributes');
    expect(scanned(`<a b="${'x'.repeat(65537)}"/>`).trouble).toContain('longer');
  });
  it('says at which byte', () => {
    expect(scanXml(new TextEncoder().encode('<a>\n<b></c></a>'), { open: () => null, close: () => null })?.at).toBe(7);
  });
});

describe('escapeXml', () => {
  it('makes any text fit for a value', () => {
    const text = 'a<b>&"c"\u0001ü';
    const trouble = scanned(`<a n="${escapeXml(text)}"/>`);
    expect(trouble).toEqual({ names: ['0aa<b>&"c"ü'], trouble: null });
  });
});
