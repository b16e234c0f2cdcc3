import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { marked } from '../../src/app/staff/marked';

const shown = (text: string, ...spans: [number, number][]) =>
  marked(
    text,
    spans.map(([start, end]) => ({ start, end })),
  )
    .map((stretch) => (stretch.marked ? `[${stretch.text}]` : stretch.text))
    .join('');

describe('a text with marks', () => {
  it('is cut at the edges of its spans, whatever their order', () => {
    expect(shown('shake it ten times', [9, 18], [0, 5])).toBe('[shake] it [ten times]');
  });

  it('has spans that overlap or touch marked once', () => {
    expect(shown('ten seconds', [0, 7], [4, 11])).toBe('[ten seconds]');
    expect(shown('ten seconds', [0, 3], [3, 11])).toBe('[ten seconds]');
    expect(shown('ten seconds', [0, 11], [4, 7])).toBe('[ten seconds]');
  });

  it('loses nothing, not even by spans that run over its ends', () => {
    fc.assert(
      fc.property(
        fc.string({ maxLength: 12 }),
        fc.array(fc.record({ start: fc.nat(15), end: fc.nat(15) }), { maxLength: 5 }),
        (text, spans) => {
          expect(
            marked(text, spans)
              .map((stretch) => stretch.text)
              .join(''),
          ).toBe(text);
        },
      ),
    );
  });
});
